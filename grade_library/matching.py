"""identify(): what a piece can be, how sure, and why."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from grade_library.doubts import doubts, with_hints
from grade_library.evidence import Compiled, Evidence, compiled_for, gather
from grade_library.facts import PieceFacts
from grade_library.family import family_answer
from grade_library.hypotheses import weigh
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.prior import Prior
from grade_library.reasons import WholeEvidence, reasons_for
from grade_library.technique import FALLBACK, Profile, profiles
from grade_library.twins import finder_for
from grade_library.verdict import Candidate, ReasonKind, Verdict

LEAST_SHOWN = 0.001
"""Candidates below this probability are not listed."""
MOST_SHOWN = 25


def identify(
    facts: PieceFacts,
    library: GradeLibrary,
    prior: Prior | None = None,
    technique_profiles: Mapping[str, Profile] | None = None,
) -> Verdict:
    """Return what a piece can be: candidates by probability, none when nothing is known.

    Args:
        facts: All that is known of the piece.
        library: The grades.
        prior: How often each grade is met; None for the usual frequencies in a mixed yard.
        technique_profiles: Key -> profile, where the yard has its own; None for the shipped ones.
    """
    if facts.is_empty:
        return Verdict(candidates=(), unlisted=0.0)
    known = profiles() if technique_profiles is None else technique_profiles
    compiled = compiled_for(library)
    shares = compiled.shares(library, prior if prior is not None else Prior.usual(library))
    evidence = gather(facts, library, compiled, known)
    found = weigh(evidence, shares, compiled)
    rows = _leading(found.probability)
    leads_unlisted = bool(evidence.readings) and (
        not rows.size or found.unlisted > found.probability[rows[0]]
    )
    asked = np.append(rows, int(np.argmax(evidence.log_likelihood))) if leads_unlisted else rows
    candidates = _candidates(asked, found.probability, evidence, library, compiled, shares, known)
    values = {symbol: x for reading in evidence.readings for symbol, x in reading.averaged.values.items()}
    return Verdict(
        candidates=tuple(candidates[: len(rows)]),
        unlisted=found.unlisted,
        share_by_id=dict(zip(compiled.ids, found.probability.tolist(), strict=True)),
        nearest=replace(candidates[-1], reasons=with_hints(candidates[-1].reasons))
        if leads_unlisted
        else None,
        family_answer=family_answer(library.grades, found.probability, found.unlisted, values),
        warnings=doubts(
            facts,
            [reading.averaged for reading in evidence.readings],
            candidates[: len(rows)],
            library.elements,
            compiled.bases,
            known,
        ),
    )


def warm(
    library: GradeLibrary, technique: str = FALLBACK, technique_profiles: Mapping[str, Profile] | None = None
) -> None:
    """Work out beforehand what the first call of `identify` with that technique needs."""
    known = profiles() if technique_profiles is None else technique_profiles
    profile = known.get(technique, known[FALLBACK])
    compiled = compiled_for(library)
    compiled.readable(library, profile)
    compiled.shares(library, Prior.usual(library))
    finder_for(library, profile)


def _leading(probability: FloatArray) -> NDArray[np.int64]:
    """Return the rows worth listing by probability, then grade id (rows are in order of grade id)."""
    rows = np.flatnonzero(probability >= LEAST_SHOWN)
    return rows[np.argsort(-probability[rows], kind="stable")][:MOST_SHOWN]


def _candidates(
    rows: NDArray[np.int64],
    probability: FloatArray,
    evidence: Evidence,
    library: GradeLibrary,
    compiled: Compiled,
    shares: FloatArray,
    known: Mapping[str, Profile],
) -> list[Candidate]:
    if not rows.size:
        return []
    whole = [
        WholeEvidence(
            kind=ReasonKind.CLAIM if fact is evidence.claim else ReasonKind.BENCH,
            name=fact.name,
            weights=fact.log_likelihood - np.log(np.dot(shares, np.exp(fact.log_likelihood))),
        )
        for fact in (*evidence.bench, *([evidence.claim] if evidence.claim else []))
    ]
    reasons = reasons_for(rows, library, evidence.readings, whole, group=int(compiled.group_of[rows[0]]))
    profile = evidence.readings[-1].averaged.profile if evidence.readings else known[FALLBACK]
    finder = finder_for(library, profile)
    return [
        Candidate(
            grade=library.grades[row],
            probability=float(probability[row]),
            twins=finder.twins(int(row)),
            reasons=why,
        )
        for row, why in zip(rows, reasons, strict=True)
    ]
