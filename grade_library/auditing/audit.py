"""Checks the whole grade library against itself, and counts where its figures come from."""

import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from grade_library.auditing.citations import citation_findings, values_by_kind
from grade_library.auditing.composition import composition_findings
from grade_library.auditing.findings import Acceptance, Check, Finding, load_acceptance
from grade_library.auditing.physical import physical_findings
from grade_library.library import GradeLibrary
from grade_library.naming.trade_words import TradeWord


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditReport:
    """What an audit found."""

    findings: tuple[Finding, ...]
    """What does not look right; empty for a clean library."""
    accepted: tuple[tuple[Finding, str], ...]
    """What looks odd, was looked at and is right, with the reason."""
    n_grades: int
    values_by_kind: Mapping[str, Counter[str]]
    """Kind of source -> block of values -> number of single values."""

    @property
    def is_clean(self) -> bool:
        """True when nothing was found but what is accepted."""
        return not self.findings


def audit(
    library: GradeLibrary,
    acceptance: Acceptance | None = None,
    trade_words: Iterable[TradeWord] | None = None,
) -> AuditReport:
    """Check the library against itself.

    Args:
        library: Shipped grades, with the yard's own where there are any.
        acceptance: Findings known to be right; None for those shipped.
        trade_words: None for those shipped.

    >>> from grade_library.library import load
    >>> audit(load()).is_clean
    True
    """
    known = load_acceptance() if acceptance is None else acceptance
    words = library.dictionary.words if trade_words is None else trade_words
    found = [
        *composition_findings(library.grades),
        *physical_findings(library.grades, known),
        *citation_findings(library),
        *_caution_findings(library),
        *_word_findings(library, words),
    ]
    open_findings, accepted = [], []
    for finding in found:
        reason = known.reason(finding)
        if reason is None:
            open_findings.append(finding)
        else:
            accepted.append((finding, reason))
    open_findings += _stale(known, accepted)
    return AuditReport(
        findings=tuple(open_findings),
        accepted=tuple(accepted),
        n_grades=len(library),
        values_by_kind=values_by_kind(library),
    )


def _caution_findings(library: GradeLibrary) -> Iterator[Finding]:
    """Yield cautions of grades that no caution file knows."""
    known = tomllib.loads((Path(__file__).parents[1] / "data" / "cautions.toml").read_text("utf-8"))
    for grade in library.grades:
        for caution in grade.cautions:
            if caution not in known:
                known_ones = f"one of {', '.join(known)}"
                yield Check.CAUTION.finding(grade.grade_id, f'caution "{caution}"', known_ones)


def _word_findings(library: GradeLibrary, words: Iterable[TradeWord]) -> Iterator[Finding]:
    """Yield trade words that name grades, families, groups, series or sources which are not there."""
    known = {
        "grade": {grade.grade_id for grade in library.grades},
        "family": {grade.family for grade in library.grades},
        "group": {grade.group for grade in library.grades},
        "series": {grade.series for grade in library.grades},
        "material": {material.material_id for material in library.dictionary.materials},
        "source": set(library.sources),
    }
    for word in words:
        stated = {
            "grade": word.grades,
            "family": word.families,
            "group": word.groups,
            "series": word.series,
            "material": word.materials,
            "source": (word.source,),
        }
        for kind, names in stated.items():
            for name in names:
                if name not in known[kind]:
                    yield Check.WORD.finding(word.word, f'{kind} "{name}"', f"a {kind} that is there")


def _stale(known: Acceptance, accepted: Iterable[tuple[Finding, str]]) -> Iterator[Finding]:
    """Yield accepted findings that are no longer found."""
    seen = {(finding.check.value, finding.about) for finding, _ in accepted}
    for check, about in known.entries:
        if (check, about) not in seen:
            found = f"{check} is accepted but no longer found"
            yield Check.ACCEPTED.finding(about, found, "no such entry")
