"""Audit of citations: every figure has a source that says something, and what kinds of sources there are."""

import re
from collections import Counter
from collections.abc import Container, Iterator

from grade_library.auditing.findings import Check, Finding
from grade_library.grade import Citation, Grade
from grade_library.library import GradeLibrary
from grade_library.loading.sources import YARD_SOURCE


def cited_values(grade: Grade) -> Iterator[str]:
    """Yield every value of a grade that needs a source, one by one: "limits.Cr", "density", "magnet" ..."""
    yield from (f"limits.{symbol}" for symbol in grade.limits)
    yield from (f"sums.{symbols}" for symbols in grade.sums)
    for name, value in (("each", grade.others_each), ("total", grade.others_total)):
        if value is not None:
            yield f"others.{name}"
    yield from ("density", "magnet", "colour")
    if grade.iacs_low_pct is not None:
        yield "iacs"
    for name, stated in (
        ("look", grade.look),
        ("spark", grade.spark),
        ("forms", grade.forms),
        ("scrap", grade.scrap),
    ):
        if stated:
            yield name


def citation_findings(library: GradeLibrary) -> Iterator[Finding]:
    """Yield figures without a source, sources that say nothing, and sources that nothing cites."""
    finding = Check.CITATION.finding
    cited: set[str] = {"memory", "common-practice", YARD_SOURCE}
    for grade in library.grades:
        uncited = [
            value for value in cited_values(grade) if not {value, value.split(".")[0]} & set(grade.sources)
        ]
        if uncited:
            yield finding(grade.grade_id, f"no source for {', '.join(uncited)}", 'a source, or "memory"')
        citations = [*grade.sources.values(), *(other.citation for other in grade.differences)]
        named = {
            source_id for citation in citations for source_id in _named_sources(citation, library.sources)
        }
        for source_id in sorted(named):
            source = library.sources.get(source_id)
            if source is None or not source.cite.strip():
                yield finding(grade.grade_id, f'"{source_id}" says nothing', "a source of sources.toml")
        cited |= named
    for source_id in library.sources:
        if source_id not in cited:
            yield finding(source_id, "nothing cites this source", "no source that is not used")


_AGREES = re.compile(r"agrees: ([\w-]+)")
_WORD = re.compile(r"[\w-]+")


def _named_sources(citation: Citation, known: Container[str]) -> Iterator[str]:
    """Yield the source of a citation, those that it says agree, and those that it mentions besides."""
    yield citation.source_id
    yield from _AGREES.findall(citation.where)
    yield from (word for word in _WORD.findall(citation.where) if word in known)


RECKONED = "reckoned"
"""What is counted apart from every kind of source: a limit of which an end was worked out and not seen."""


def values_by_kind(library: GradeLibrary) -> dict[str, Counter[str]]:
    """Return kind of source -> block -> number of single values; limits with a reckoned end stand apart."""
    counts: dict[str, Counter[str]] = {}
    for grade in library.grades:
        for value in cited_values(grade):
            block = value.split(".")[0]
            if value not in grade.sources and block not in grade.sources:
                continue
            source = library.sources.get(grade.citation_for(value).source_id)
            kind = "unknown" if source is None else source.kind
            stated = {"limits": grade.limits, "sums": grade.sums}.get(block, {})
            limit = stated.get(value.partition(".")[2])
            if limit is not None and limit.is_reckoned:
                kind = RECKONED
            counts.setdefault(kind, Counter())[block] += 1
    return counts
