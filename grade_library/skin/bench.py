"""What hand and eye say of a coating: how likely each observation is on coated and on bare metal."""

from collections.abc import Mapping, Sequence

import numpy as np

from grade_library.bench.bench_tables import COLOUR_ORDER, COVERED
from grade_library.bench.observations import BenchFact
from grade_library.facts import BenchFacts, Surface
from grade_library.normal import FloatArray
from grade_library.skin.coatings import Coating

SCRATCH_TO_CORE = 0.85
"""Share of file marks on a coated piece that go down to the core (memory)."""
COLOUR_OF_COATING = 0.85
"""Chance that a coated piece shows one of the usual colours of its coating (memory)."""
SAID_OF_A_FILM, SAID_BARE = 0.35, 0.10
"""How often each word of a covering, and "bare", is said of a piece with some film on it (memory)."""
STRANGE_SCRATCH = 0.1
"""A scratch colour less likely than this on a grade is plainly another colour ..."""
STRICTER = 0.25
"""... and so much rarer on bare metal than the usual odds say (memory)."""

_SAID_OF: Mapping[Surface, tuple[float, float, float]] = {
    #                    said of those it means, of other coatings, of bare metal
    Surface.PLATED: (0.40, 0.05, 0.01),
    Surface.GALVANISED: (0.50, 0.01, 0.005),
    Surface.PAINTED: (0.60, 0.05, 0.05),
    Surface.ANODISED: (0.60, 0.01, 0.02),
    Surface.RUSTY: (0.70, 0.06, 0.06),
    Surface.DIRTY: (0.50, 0.10, 0.10),
    Surface.OILY: (0.60, 0.05, 0.05),
    Surface.BARE: (0.0, 0.10, 0.50),
}
"""How often a sorter says each word of a surface (memory)."""


def surface_words_log_odds(bench: BenchFacts, coating: Coating | None) -> float:
    """Return the log-likelihood [nats] of the surface words on a coating, on bare metal with None."""
    total = 0.0
    for surface in bench.surfaces:
        if surface in _SAID_OF:
            of_meant, of_others, of_bare = _SAID_OF[surface]
            if coating is None:
                total += np.log(of_bare)
            else:
                total += np.log(of_meant if surface in coating.called else of_others)
    return float(total)


def film_log_likelihood(bench: BenchFacts) -> float:
    """Return the log-likelihood [nats] of the surface words on a piece with some film or coat on it."""
    return float(sum(np.log(SAID_BARE if s is Surface.BARE else SAID_OF_A_FILM) for s in bench.surfaces))


def bare_log_likelihood(bench: BenchFacts, facts: Sequence[BenchFact]) -> FloatArray | float:
    """Return what has to be added to the bench facts for bare metal [nats], for every grade.

    The usual odds of a scratch's colour allow for a plating that nobody noticed; here that is a hypothesis
    of its own.

    Args:
        bench: What was observed.
        facts: The same for every grade.
    """
    total: FloatArray | float = surface_words_log_odds(bench, None)
    for fact in facts:
        if fact.name.startswith("scratch "):
            total = total + np.where(fact.log_likelihood < np.log(STRANGE_SCRATCH), np.log(STRICTER), 0.0)
    return total


def coated_log_likelihood(
    bench: BenchFacts, facts: Sequence[BenchFact], n_grades: int, coating: Coating
) -> FloatArray:
    """Return the log-likelihood of the bench facts for every grade beneath a coating [nats], shape
    (n_grades,).

    Magnet, heft, density, form and spark tell of the core; the surface colour tells of the coating; a
    scratch mostly goes down to the core.

    Args:
        bench: What was observed.
        facts: The same for every grade, weighed without a reading: it tells of the skin, and has nothing to
            say of how the core answers a magnet.
        n_grades: Number of grades.
        coating: The coating.
    """
    total = np.zeros(n_grades)
    for fact in facts:
        if fact.name.startswith("colour "):
            continue
        if fact.name.startswith("scratch ") and bench.scratch is not None:
            through = SCRATCH_TO_CORE * np.exp(fact.log_likelihood)
            shallow = 1.0 if bench.scratch in coating.colours else 0.02
            total += np.log(through + (1.0 - SCRATCH_TO_CORE) * shallow / max(len(coating.colours), 1))
        else:
            total += fact.log_likelihood
    if bench.colour is not None and not bench.surfaces & COVERED:
        usual = COLOUR_OF_COATING / max(len(coating.colours), 1)
        other = (1.0 - COLOUR_OF_COATING) / max(len(COLOUR_ORDER) - len(coating.colours), 1)
        total += np.log(usual if bench.colour in coating.colours else other)
    return total + surface_words_log_odds(bench, coating)
