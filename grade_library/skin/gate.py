"""Whether a piece gives any cause to think of a skin: signs that cost next to nothing to look for."""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from grade_library.facts import PieceFacts, Surface
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Evidence, ReadingEvidence
from grade_library.matcher.hypotheses import Posterior
from grade_library.normal import FloatArray
from grade_library.skin.coatings import PLATING
from grade_library.skin.series import Stage, looks_at_surface
from grade_library.technique import Profile

UNFITTING = 0.15
"""Probability of "no grade fits" that is worth a look."""
OUT_SIGMAS = 3.5
"""An element this far outside what the likeliest grade allows is worth a look."""
CONTRADICTION_NATS = 2.0
"""Bench facts and reading of which no grade fits both, by this much, are worth a look."""
SKIN_METALS: Final[Mapping[str, float]] = {
    "Cr": 60.0,
    "Ni": 82.0,
    "Zn": 97.0,
    "Sn": 55.0,
    "Pb": 70.0,
    "Cd": 20.0,
    "Ag": 96.0,
    "Au": 90.0,
    "Ti": 80.0,
}
"""A reading with so much of one of these can be of a coating and nothing else [wt %]."""
MOSTLY = 0.5
"""From this part of a reading on, metals that others are plated with can be all that was read."""
NO_SIGN = frozenset({Surface.BARE})


def is_worth_a_look(
    facts: PieceFacts,
    stages: Sequence[Stage],
    library: GradeLibrary,
    log_shares: FloatArray,
    evidence: Evidence,
    posterior: Posterior,
) -> bool:
    """Return True when something hints at a skin.

    Args:
        facts: All that is known of the piece.
        stages: Its shots, in stages.
        library: The grades.
        log_shares: Logarithm of the frequency of each grade before [nats].
        evidence: What the facts say of bare metal.
        posterior: The same, weighed.
    """
    if len(stages) > 1 or posterior.unlisted > UNFITTING or facts.bench.surfaces - NO_SIGN:
        return True
    values = stages[0].averaged.values
    if any(values.get(symbol, 0.0) >= least for symbol, least in SKIN_METALS.items()):
        return True
    by_reading = evidence.from_readings + log_shares
    by_both = by_reading + evidence.by_hand
    if by_reading.max() + evidence.by_hand.max() - by_both.max() > CONTRADICTION_NATS:
        return True
    best = int(np.argmax(posterior.probability))
    if any(symbol not in library.elements for symbol in values):
        return True
    return any(_is_out(reading, best) for reading in evidence.readings)


def _is_out(reading: ReadingEvidence, row: int) -> bool:
    melts, observed = reading.readable.melts, reading.observed
    terms = melts.index[row]
    out = np.maximum(melts.low[terms] - observed.value, observed.value - melts.high[terms]) / observed.sigma
    return bool(np.any(np.nan_to_num(out) > OUT_SIGMAS))


def may_be_plate_alone(facts: PieceFacts, profiles: Mapping[str, Profile]) -> bool:
    """Return True where all that is known of a piece may be known of a plating: its surface was shot as it
    lies there, reads as metals that others are plated with, and nothing else speaks of what lies beneath.

    Copper and brass count: over a light metal x-rays read a copper plate with the zinc of the core as brass,
    and plated fittings are why a sorter tries the magnet on all brass (common practice).

    Args:
        facts: All that is known of the piece.
        profiles: Key -> technique profile.
    """
    bench = facts.bench
    beneath = (bench.magnet, bench.scratch, bench.heft, bench.spark, bench.density_g_cm3, bench.iacs_pct)
    if facts.claim is not None or any(one is not None for one in beneath):
        return False
    if not all(looks_at_surface(shot, profiles) and not shot.is_ground for shot in facts.shots):
        return False
    return any(_is_mostly_plate(shot.reading.values) for shot in facts.shots)


def _is_mostly_plate(values: Mapping[str, float]) -> bool:
    plate = sum(x for symbol, x in values.items() if symbol in PLATING)
    return plate >= MOSTLY * sum(values.values()) > 0.0
