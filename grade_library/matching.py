"""identify(): what a piece can be, how sure, and why."""

import weakref
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.bench import BenchFact, BenchModel, bench_facts, compile_bench
from grade_library.claim import claim_log_likelihood
from grade_library.facts import PieceFacts
from grade_library.family import family_answer
from grade_library.library import GradeLibrary
from grade_library.likelihood import grade_log_likelihood, term_log_density
from grade_library.melt import Melts, compile_melts
from grade_library.normal import FloatArray
from grade_library.prior import UNLISTED, Prior
from grade_library.reading import Averaged, average, metal_shots, observed, reading_warnings
from grade_library.reasons import ElementEvidence, WholeEvidence, reasons_for
from grade_library.technique import FALLBACK, Profile, profiles
from grade_library.twins import finder_for
from grade_library.unlisted import UnlistedModel, compile_unlisted, element_log_density
from grade_library.verdict import Candidate, ReasonKind, Verdict

LEAST_SHOWN = 0.001
"""Candidates below this probability are not listed."""
MOST_SHOWN = 25


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Readable:
    """The library as one technique sees it."""

    melts: Melts
    unlisted: UnlistedModel


class _Compiled:
    """Everything about a library that can be worked out before a piece is seen."""

    def __init__(self, library: GradeLibrary) -> None:
        self.bench: BenchModel = compile_bench(library)
        self.bases = frozenset(grade.base for grade in library.grades)
        groups = [grade.group for grade in library.grades]
        self.groups = tuple(sorted(set(groups)))
        self.group_of = np.array([self.groups.index(group) for group in groups])
        self._readable: dict[tuple[frozenset[str], bool], _Readable] = {}
        self._shares: weakref.WeakKeyDictionary[Prior, FloatArray] = weakref.WeakKeyDictionary()

    def readable(self, library: GradeLibrary, profile: Profile) -> _Readable:
        key = (profile.unseen, profile.normalises)
        if key not in self._readable:
            melts = compile_melts(library, profile.unseen, normalises=profile.normalises)
            self._readable[key] = _Readable(melts=melts, unlisted=compile_unlisted(library, melts))
        return self._readable[key]

    def shares(self, library: GradeLibrary, prior: Prior) -> FloatArray:
        if prior not in self._shares:
            self._shares[prior] = prior.shares(library)
        return self._shares[prior]


_compiled: "weakref.WeakKeyDictionary[GradeLibrary, _Compiled]" = weakref.WeakKeyDictionary()


def _compiled_for(library: GradeLibrary) -> _Compiled:
    found = _compiled.get(library)
    if found is None:
        found = _compiled[library] = _Compiled(library)
    return found


def warm(library: GradeLibrary, technique: str = FALLBACK, own: Mapping[str, Profile] | None = None) -> None:
    """Work out beforehand what the first call of `identify` with that technique needs."""
    known = profiles() if own is None else own
    profile = known.get(technique, known[FALLBACK])
    _compiled_for(library).readable(library, profile)
    finder_for(library, profile)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Evidence:
    """All facts of one piece against all grades."""

    log_likelihood: FloatArray
    """Of every grade [nats], shape (n_grades,)."""
    unlisted: FloatArray
    """Of an unlisted alloy of each group, from the readings [nats], shape (n_groups,)."""
    readings: tuple[tuple[Averaged, _Readable, FloatArray, FloatArray], ...]
    """Each technique's reading, what it was judged by, its terms, and the unlisted density per group and element."""
    whole: tuple[BenchFact, ...]
    """Bench facts and the claim."""


def identify(
    facts: PieceFacts,
    library: GradeLibrary,
    prior: Prior | None = None,
    technique_profiles: Mapping[str, Profile] | None = None,
) -> Verdict:
    """Return what a piece can be.

    Args:
        facts: All that is known of the piece.
        library: The grades.
        prior: How often each grade is met; None for the usual frequencies in a mixed yard.
        technique_profiles: Key -> profile, where the yard has its own; None for the shipped ones.

    Returns:
        Candidates by probability; none when nothing is known.
    """
    if facts.is_empty:
        return Verdict(candidates=(), unlisted=0.0)
    known = profiles() if technique_profiles is None else technique_profiles
    compiled = _compiled_for(library)
    frequency = prior if prior is not None else Prior.usual(library)
    shares = compiled.shares(library, frequency)
    evidence = _gather(facts, library, compiled, known)
    probability, unlisted = _posterior(evidence, shares, compiled)
    order = _leading(probability, library)
    technique = (
        evidence.readings[-1][0].profile if evidence.readings else known.get(FALLBACK, profiles()[FALLBACK])
    )
    leads_unlisted = order.size == 0 or unlisted > probability[order[0]]
    shown = order[:MOST_SHOWN] if order.size else np.array([int(np.argmax(evidence.log_likelihood))])
    candidates = _candidates(shown, probability, evidence, library, compiled, shares, technique)
    nearest = None
    if leads_unlisted:
        best_fit = np.array([int(np.argmax(evidence.log_likelihood))])
        nearest = _candidates(best_fit, probability, evidence, library, compiled, shares, technique)[0]
    values = evidence.readings[-1][0].values if evidence.readings else {}
    return Verdict(
        candidates=tuple(candidates) if order.size else (),
        unlisted=unlisted,
        nearest=nearest,
        family_answer=family_answer(library.grades, probability, unlisted, values),
        warnings=tuple(_warnings(facts, library, compiled, evidence, known)),
    )


def _gather(
    facts: PieceFacts, library: GradeLibrary, compiled: _Compiled, known: Mapping[str, Profile]
) -> _Evidence:
    log_likelihood = np.zeros(len(library))
    unlisted = np.zeros(len(compiled.groups))
    readings = []
    for averaged in average(metal_shots(facts.shots), known):
        readable = compiled.readable(library, averaged.profile)
        laid_out = observed(averaged, readable.melts.elements)
        terms = term_log_density(readable.melts, laid_out)
        by_group = element_log_density(readable.unlisted, terms, laid_out)
        log_likelihood += grade_log_likelihood(readable.melts, terms)
        unlisted += by_group.sum(axis=1)
        readings.append((averaged, readable, terms, by_group))
    whole = bench_facts(facts.bench, compiled.bench)
    if facts.claim is not None:
        said = claim_log_likelihood(facts.claim, library)
        whole.append(BenchFact(name=f'"{facts.claim.label}" claimed', log_likelihood=said))
    for fact in whole:
        log_likelihood += fact.log_likelihood
    return _Evidence(
        log_likelihood=log_likelihood, unlisted=unlisted, readings=tuple(readings), whole=tuple(whole)
    )


def _posterior(evidence: _Evidence, shares: FloatArray, compiled: _Compiled) -> tuple[FloatArray, float]:
    """Return the probability of each grade, shape (n_grades,), and of unlisted."""
    log_listed = np.log(shares * (1.0 - UNLISTED)) + evidence.log_likelihood
    # An unlisted alloy looks to hand and eye like an average grade of its group.
    by_hand = np.zeros(len(shares))
    for fact in evidence.whole:
        by_hand += fact.log_likelihood
    top = float(by_hand.max())
    group_share = np.bincount(
        compiled.group_of, shares * np.exp(by_hand - top), minlength=len(compiled.groups)
    )
    log_unlisted = np.log(UNLISTED * group_share + 1e-300) + top + evidence.unlisted
    peak = max(float(log_listed.max()), float(log_unlisted.max()))
    listed, other = np.exp(log_listed - peak), float(np.exp(log_unlisted - peak).sum())
    total = float(listed.sum()) + other
    return listed / total, other / total


def _leading(probability: FloatArray, library: GradeLibrary) -> NDArray[np.int64]:
    """Return the rows worth listing by probability, then grade id (rows are in order of grade id)."""
    rows = np.flatnonzero(probability >= LEAST_SHOWN)
    return rows[np.argsort(-probability[rows], kind="stable")]


def _candidates(
    rows: NDArray[np.int64],
    probability: FloatArray,
    evidence: _Evidence,
    library: GradeLibrary,
    compiled: _Compiled,
    shares: FloatArray,
    technique: Profile,
) -> list[Candidate]:
    group = compiled.group_of[rows[0]]
    elements = []
    for averaged, readable, terms, by_group in evidence.readings:
        elements.append(
            ElementEvidence(
                library=library,
                melts=readable.melts,
                observed=observed(averaged, readable.melts.elements),
                terms=terms,
                reference=by_group[readable.unlisted.groups.index(compiled.groups[group])],
            )
        )
    whole = [
        WholeEvidence(
            kind=ReasonKind.CLAIM if fact.name.endswith(" claimed") else ReasonKind.BENCH,
            name=fact.name,
            weights=fact.log_likelihood - np.log(np.dot(shares, np.exp(fact.log_likelihood))),
        )
        for fact in evidence.whole
    ]
    reasons = reasons_for(rows, elements, whole)
    finder = finder_for(library, technique)
    return [
        Candidate(
            grade=library.grades[row],
            probability=float(probability[row]),
            twins=finder.twins(int(row)),
            reasons=why,
        )
        for row, why in zip(rows, reasons, strict=True)
    ]


def _warnings(
    facts: PieceFacts,
    library: GradeLibrary,
    compiled: _Compiled,
    evidence: _Evidence,
    known: Mapping[str, Profile],
) -> list[str]:
    said = []
    for averaged, _readable, _terms, _by_group in evidence.readings:
        said += reading_warnings(averaged, library.elements, compiled.bases)
    said += [
        f'no profile for technique "{key}": taken as {known[FALLBACK].label}'
        for key in dict.fromkeys(shot.reading.technique for shot in facts.shots)
        if key not in known
    ]
    return said
