"""What is to be said about the facts themselves: sums, unseen elements, spectral overlaps, dirty surfaces."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from grade_library.facts import Claim, PieceFacts, Reading, Shot, Surface
from grade_library.grade import Grade, Limit
from grade_library.matcher.evidence import Evidence
from grade_library.normal import FloatArray
from grade_library.reading import Averaged
from grade_library.skin.coatings import PLATING
from grade_library.skin.series import agree
from grade_library.technique import FALLBACK, Profile
from grade_library.verdict import Candidate, Reason, ReasonKind

LOW_SUM_PCT = 95.0
"""A reading with its main element that sums to less is said to be incomplete (common practice)."""
HIGH_SUM_PCT = 100.5
"""A reading above this is said to be off; more than 101 is refused where facts are made."""
IN_QUESTION = 0.05
"""Grades of at least this probability are looked at for what the technique cannot tell between them."""
CONTRADICTION_NATS = -2.3
"""A bench fact ten times likelier on another metal than on what the piece is said to be speaks against the
name."""
MOSTLY_WT_PCT = 50.0
SKIN_LIGHT = ("Mg", "Al", "Si", "P", "S")
"""X-rays of these come from the outermost micrometres only."""
HIDING = frozenset(
    {Surface.PAINTED, Surface.PLATED, Surface.ANODISED, Surface.GALVANISED, Surface.RUSTY, Surface.DIRTY}
)
DIRT = frozenset({"Si", "Al", "Ca", "Fe", "Ti", "S", "P", "C", "Cl", "K", "Na", "Mg", "Ba"})
"""What dust, rust, oil and paint leave in a reading (common practice)."""


def doubts(
    facts: PieceFacts,
    readings: Sequence[Averaged],
    candidates: Sequence[Candidate],
    elements: Sequence[str],
    bases: frozenset[str],
    profiles: Mapping[str, Profile],
) -> tuple[str, ...]:
    """Return what is to be said about the facts of a piece.

    Args:
        facts: All that is known of it.
        readings: Its readings, averaged.
        candidates: What it can be, the likeliest first.
        elements: Elements that the library knows.
        bases: Elements that can be the main one of a metal.
        profiles: Key -> technique profile.
    """
    said: list[str] = []
    for reading in readings:
        said += _of_sum(reading, elements, bases)
        said += _of_overlaps(reading)
        light = [symbol for symbol in SKIN_LIGHT if symbol in reading.values]
        if reading.profile.key == FALLBACK and light and facts.bench.surfaces & HIDING:
            said.append(f"x-rays see {', '.join(light)} only on bare metal: grind the spot")
    said += _of_unseen([reading.profile for reading in readings], candidates)
    said += [
        f'no profile for technique "{key}": taken as {profiles[FALLBACK].label}'
        for key in dict.fromkeys(shot.reading.technique for shot in facts.shots)
        if key not in profiles
    ]
    return tuple(dict.fromkeys(said))


def against_claim(
    claim: Claim, evidence: Evidence, named: NDArray[np.int64], shares: FloatArray
) -> list[str]:
    """Return what hand and eye say against the name of a piece, in the sorter's words.

    Args:
        claim: What somebody says that it is.
        evidence: What the bench facts say of every grade.
        named: Rows of the grades that the words can mean.
        shares: How often each grade is met, shape (n_grades,).
    """
    said = []
    weight = shares[named] / shares[named].sum()
    for fact in evidence.bench:
        usual = float(np.log(np.dot(weight, np.exp(fact.log_likelihood[named]))))
        if usual - float(fact.log_likelihood.max()) < CONTRADICTION_NATS:
            kind, _, seen = fact.name.partition(" ")
            words = _AGAINST.get("no magnet" if fact.name == "magnet none" else kind)
            if words is not None:
                said.append(f"CHECK {claim.text} {words.format(seen=seen)}")
    return said


_AGAINST = {
    "magnet": "does not hold a magnet: plated steel, or steel in it?",
    "no magnet": "holds a magnet, this does not: another metal?",
    "scratch": "does not file {seen}: plated, or another metal?",
    "colour": "is not {seen}: plated, painted, or another metal?",
    "heft": "is not {seen}: hollow, or another metal?",
    "density": "is not of {seen}: hollow, or another metal?",
    "spark": "does not spark so ({seen}): another metal?",
    "conductivity": "does not conduct so ({seen}): another metal?",
}


def against_metals(claim: Claim, reading: Reading, metals: Collection[str]) -> list[str]:
    """Return that a reading is mostly of another metal than those that a named thing can be made of."""
    symbol = max(reading.values, key=lambda one: reading.values[one], default="")
    if symbol in metals or reading.values.get(symbol, 0.0) < MOSTLY_WT_PCT:
        return []
    return [f"CHECK {claim.text} is not {reading.values[symbol]:g} % {symbol}: a coating, or another metal?"]


def against_each_other(shots: Sequence[Shot], profiles: Mapping[str, Profile]) -> list[str]:
    """Return that a series goes there and back, which no grinding does: two pieces, or a slip."""
    for i in range(len(shots) - 2):
        one, between, other = (shot.reading for shot in shots[i : i + 3])
        is_there_and_back = agree(one, other, profiles) and not agree(one, between, profiles)
        if is_there_and_back and one.technique == between.technique:
            return [
                f"CHECK shots {i + 1} and {i + 3} agree and shot {i + 2} is of something else:"
                " two pieces, or a slip. Take the odd shot off the line, or shoot the piece again"
            ]
    return []


def _of_sum(reading: Averaged, elements: Sequence[str], bases: frozenset[str]) -> list[str]:
    said = []
    if reading.unseen:
        said.append(f"{reading.profile.label} does not see {', '.join(reading.unseen)}: left out")
    if strange := sorted(symbol for symbol in reading.values if symbol not in elements):
        said.append(f"no grade of the library names {', '.join(strange)}: not judged")
    symbol = max(reading.values, key=lambda one: reading.values[one], default="")
    if symbol not in bases and reading.values.get(symbol, 0.0) >= MOSTLY_WT_PCT:
        said.append(f"mostly {symbol}, as no metal of the library is")
    total = reading.total
    has_main = any(symbol in bases and value >= 40.0 for symbol, value in reading.values.items())
    if total > HIGH_SUM_PCT:
        said.append(f"reading sums to {total:.1f} %: check the figures or the calibration")
    elif has_main and total < LOW_SUM_PCT:
        said.append(f"reading sums to {total:.1f} %: something is not reported, or the spot is dirty")
    return said


def _of_overlaps(reading: Averaged) -> list[str]:
    return [
        overlap.text
        for overlap in reading.profile.overlaps
        if overlap.share * reading.values.get(overlap.under, 0.0)
        > 0.5 * reading.values.get(overlap.element, math.inf)
    ]


def _of_unseen(profiles: Sequence[Profile], candidates: Sequence[Candidate]) -> list[str]:
    """Return what keeps the likeliest grades apart though no technique used can see it."""
    if not profiles:
        return []
    unseen = frozenset.intersection(*(profile.unseen for profile in profiles))
    asked = [candidate.grade for candidate in candidates if candidate.probability >= IN_QUESTION]
    apart = sorted(
        symbol for symbol in unseen if any(_differs(asked[0], grade, symbol) for grade in asked[1:])
    )
    if not apart:
        return []
    names = ", ".join(grade.grade_id for grade in asked[:4])
    label = " and ".join(dict.fromkeys(profile.label for profile in profiles))
    return [f"{label} does not see {', '.join(apart)}, by which {names} differ"]


def _differs(one: Grade, other: Grade, symbol: str) -> bool:
    a, b = one.limits.get(symbol, Limit(high=0.1)), other.limits.get(symbol, Limit(high=0.1))
    top, low = (a.high or 100.0, b.high or 100.0), (a.low or 0.0, b.low or 0.0)
    return max(top) > 1.5 * min(top) or max(low) > 1.5 * min(low) + 0.02


def with_hints(reasons: Sequence[Reason]) -> tuple[Reason, ...]:
    """Return the reasons with what may lie behind an element that is too high: another grade, dirt, or a
    plating."""
    return tuple(
        replace(reason, text=f"{reason.text}: {_behind(reason)}")
        if reason.kind in {ReasonKind.OUTSIDE, ReasonKind.RESIDUAL} and abs(reason.excess_sigma) > 2.0
        else reason
        for reason in reasons
    )


def _behind(reason: Reason) -> str:
    if reason.excess_wt_pct <= 0.0:
        return "wrong grade"
    if reason.element in PLATING:
        return "wrong grade, or a plating"
    return "wrong grade, or a dirty surface" if reason.element in DIRT else "wrong grade"
