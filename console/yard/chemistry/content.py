"""One entry as metal, before it is tallied and after: what it can be, and what was read of it."""

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

import numpy as np

from console.yard.metals import metals_of
from console.yard.placing.vetoes import reading_of_metal
from console.yard.yard import Bay, MetalKind
from grade_library.errors import ObservationError
from grade_library.facts import PieceFacts, Reading
from grade_library.library import GradeLibrary
from grade_library.matcher.prior import Prior
from grade_library.technique import FALLBACK
from grade_library.verdict import Candidate, Verdict

LEAST_UNLISTED = 1e-3
"""Unlisted alloys of a kind below this probability are left out."""
MOST_GRADES = 8
"""So many of the likeliest grades stand for all that a piece can be: the ledger keeps no more of it."""
PLACED_RIGHT = 0.9
"""Share of pieces put into a bay without a word of what they are that the bay's buyer would take (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """One entry that lies in a bay."""

    mass_g: float
    """Weight [g], > 0."""
    shares: Mapping[str, float]
    """Grade id -> probability; with the unlisted together at most 1; the rest is a metal of no kind."""
    unlisted: Mapping[MetalKind, float] = field(default_factory=dict)
    """Kind of metal -> probability of an alloy of it that the library does not list."""
    accepted: float | None = None
    """Probability that the buyer of its bay takes it, as it was placed; None reckons it from the shares."""
    reading: Reading | None = None
    """What was read of the metal itself, where something was."""
    pieces: float = 1.0

    def taken_in(self, bay: Bay | None) -> float:
        """Return the probability that a bay's buyer takes it: as it was placed, else by the bay's rules.

        Args:
            bay: Where it lies; None for a buyer who takes every grade and kind.
        """
        if self.accepted is not None:
            return self.accepted
        grades = [share for grade_id, share in self.shares.items() if bay is None or bay.takes(grade_id)]
        kinds = [share for kind, share in self.unlisted.items() if bay is None or bay.takes_kind(kind)]
        return math.fsum([*grades, *kinds])


def content_now(
    verdict: Verdict,
    facts: PieceFacts,
    mass_g: int,
    pieces: int,
    bay: Bay,
    library: GradeLibrary,
) -> Content:
    """Return a piece that is not tallied yet as metal, for the warning before it is.

    Args:
        verdict: What it can be.
        facts: Its readings.
        mass_g: Weight of the entry [g].
        pieces: How many pieces.
        bay: Where it would go; stands for the grade where nothing is known.
        library: The grades.
    """
    shares = {one.grade.grade_id: one.probability for one in kept_of(verdict)}
    unlisted = {
        (one.group, one.family, one.series): one.unlisted
        for one in verdict.families
        if one.unlisted >= LEAST_UNLISTED
    }
    content = Content(
        mass_g=mass_g,
        pieces=pieces,
        shares=shares,
        unlisted=unlisted,
        reading=reading_of_metal(verdict, facts),
    )
    return _with_the_rest(content, verdict.unlisted, bay, library)


def kept_of(verdict: Verdict) -> tuple[Candidate, ...]:
    """Return the candidates that stand for all that a piece can be: those that the ledger keeps."""
    return verdict.candidates[:MOST_GRADES]


def _with_the_rest(content: Content, none_listed: float, bay: Bay, library: GradeLibrary) -> Content:
    """Return an entry whose kept grades stand for all that are listed; by its bay where none is known."""
    row_of_kind = metals_of(library).row_of_kind
    kinds = {kind: share for kind, share in content.unlisted.items() if kind in row_of_kind}
    known = {grade_id: share for grade_id, share in content.shares.items() if _knows(library, grade_id)}
    if not known and not kinds:
        usual = _usual_in(None if bay.is_hold else bay.taken_ids, library)
        return replace(content, shares=usual, unlisted={}, accepted=None)
    scale = max(0.0, 1.0 - none_listed) / sum(content.shares.values()) if known else 0.0
    return replace(
        content, shares={grade_id: share * scale for grade_id, share in known.items()}, unlisted=kinds
    )


def content_of(
    evidence: Mapping[str, Any],
    *,
    mass_g: int,
    pieces: int,
    grade_id: str | None,
    bay: Bay,
    library: GradeLibrary,
) -> Content:
    """Return an entry of the ledger as metal.

    Args:
        evidence: What was kept with its row: candidates with probabilities, facts, skin.
        mass_g: Weight of the entry [g].
        pieces: How many pieces.
        grade_id: Its likeliest grade; None when nobody named it.
        bay: Where it lies; stands for the grade where nothing else does.
        library: The grades; those that it no longer has are left out.
    """
    said = {
        str(one["grade"]): float(one["probability"])
        for one in evidence.get("candidates", ())
        if float(one.get("probability", 0.0)) > 0.0
    }
    none_listed = float(evidence.get("unlisted", max(0.0, 1.0 - sum(said.values()))))
    if not said and grade_id is not None:
        said, none_listed = {grade_id: 1.0}, 0.0
    unlisted = {
        (str(one[0]), str(one[1]), str(one[2])): float(one[3]) for one in evidence.get("unlisted_of", ())
    }
    content = Content(
        mass_g=mass_g,
        pieces=pieces,
        shares=said,
        unlisted=unlisted,
        accepted=_accepted(evidence, bay),
        reading=_metal_reading(evidence),
    )
    return _with_the_rest(content, none_listed, bay, library)


def _accepted(evidence: Mapping[str, Any], bay: Bay) -> float | None:
    """Return what was said when a piece was placed of how likely a bay's buyer takes it.

    None where nothing was said, and where the bay takes other metal since.
    """
    for code, _, _, *said in evidence.get("placement", {}).get("ranking", ()):
        if code == bay.code and said and said[1] == bay.rules_mark:
            return float(said[0])
    return None


def _knows(library: GradeLibrary, grade_id: str) -> bool:
    try:
        library.answer(grade_id)
    except KeyError:
        return False
    return True


@functools.lru_cache(maxsize=64)  # a yard's bays; asked at every key
def _usual_in(taken: frozenset[str] | None, library: GradeLibrary) -> Mapping[str, float]:
    """Return what usually lies in a bay, for a piece of which nothing was said.

    Args:
        taken: The grades that the bay takes; None for all.
        library: The grades.
    """
    usual = Prior.usual(library).shares(library)
    if taken is not None:
        only = usual * np.array([grade.grade_id in taken for grade in library.grades])
        usual = only if only.sum() > 0.0 else usual
    shares = PLACED_RIGHT * usual / usual.sum()
    kept = zip(library.grades, shares.tolist(), strict=True)
    return MappingProxyType({grade.grade_id: share for grade, share in kept if share > 1e-3})


def _metal_reading(evidence: Mapping[str, Any]) -> Reading | None:
    """Return the last shot, unless it was of a coating."""
    shots = evidence.get("facts", {}).get("shots", ())
    skin = evidence.get("skin", {})
    if not shots or (skin.get("suspected") and not skin.get("arrived")):
        return None
    last = shots[-1]
    try:
        return Reading(
            values=last.get("wt_pct", {}),
            below=last.get("below_wt_pct", {}),
            technique=last.get("technique", FALLBACK),
        )
    except ObservationError:
        return None
