"""Whether a piece gives any cause to think of a skin: signs that cost next to nothing to look for."""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from grade_library.facts import PieceFacts, Surface
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Evidence, ReadingEvidence
from grade_library.matcher.hypotheses import Posterior
from grade_library.normal import FloatArray
from grade_library.skin.series import Stage

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
NO_SIGN = frozenset({Surface.BARE})


def is_worth_a_look(
    facts: PieceFacts,
    stages: Sequence[Stage],
    library: GradeLibrary,
    shares: FloatArray,
    evidence: Evidence,
    posterior: Posterior,
) -> bool:
    """Return True when something hints at a skin.

    Args:
        facts: All that is known of the piece.
        stages: Its shots, in stages.
        library: The grades.
        shares: Frequency of each grade before.
        evidence: What the facts say of bare metal.
        posterior: The same, weighed.
    """
    if len(stages) > 1 or posterior.unlisted > UNFITTING or facts.bench.surfaces - NO_SIGN:
        return True
    values = stages[0].averaged.values
    if any(values.get(symbol, 0.0) >= least for symbol, least in SKIN_METALS.items()):
        return True
    by_reading = evidence.from_readings + np.log(shares)
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
