"""What each bench check can show, and how likely every metal shows it, by the error rates of the matcher."""

import functools
import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from console.yard.metals import with_kinds
from console.yard.next_check.checks import CheckKind
from grade_library.bench.observations import DENSITY_SIGMA_REL, IACS_SIGMA_PCT, bench_facts
from grade_library.facts import BenchFacts, Heft, MagnetPull, Measured, PieceFacts, Spark, Surface
from grade_library.grade import Colour
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import compiled_for
from grade_library.normal import FloatArray

LEAST_DENSITY, MOST_DENSITY = 1.5, 23.0
"""Densities that a piece of metal can have [g/cm3]: magnesium alloys to iridium."""
MOST_IACS_PCT = 108.0
CLASS_SIGMAS = 2.0
"""A measurement is summed over in classes as wide as so many of its standard uncertainties."""
HIDES_SCRATCH = frozenset({Surface.PLATED, Surface.GALVANISED, Surface.PAINTED})
"""Coverings that a scratch stays in; a file goes through them."""
HIDES_READING = frozenset(
    {Surface.PLATED, Surface.GALVANISED, Surface.PAINTED, Surface.RUSTY, Surface.DIRTY, Surface.ANODISED}
)
"""Coverings that a reading would be of."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Showing:
    """Everything that one check can show."""

    outcomes: tuple[str, ...]
    """As a sorter would say it: "yellow", "weak"; for a measurement the middle of each class."""
    chances: FloatArray
    """Chance of each outcome for each of `metals_of`, shape (n_outcomes, n_metals); each column sums to 1. An
    unlisted alloy shows what the grades of its kind show."""
    values: FloatArray | None = None
    """Middle of each class of a measurement, shape (n_outcomes,)."""


def showing(
    kind: CheckKind, facts: PieceFacts, library: GradeLibrary, rows: NDArray[np.int64] | None = None
) -> Showing | None:
    """Return what a bench check can show on this piece; None where it is done already or can show nothing.

    Args:
        kind: Any check but those that read.
        facts: What is known of the piece.
        library: The grades.
        rows: Metals at hand, as rows of `metals_of`: what others show may be left rough. None for all.
    """
    bench = facts.bench
    if _is_done(kind, bench) or (kind is CheckKind.SCRATCH and bench.surfaces & HIDES_SCRATCH):
        return None
    # Only what changes the meaning of an observation is part of the key, so that most pieces share one table.
    around = BenchFacts(has_attachments=bench.has_attachments)
    # A reading tells more of the magnet than the label of a grade does.
    is_told = bool(facts.shots) and kind is CheckKind.MAGNET
    if is_told and rows is not None:
        is_told = bool(_told_by_reading(library)[rows].any())
    values = facts.shots[-1].reading.values if is_told else {}
    return _table(kind, around, tuple(sorted(values.items())), library)


@functools.lru_cache(maxsize=4)
def _told_by_reading(library: GradeLibrary) -> NDArray[np.bool_]:
    """Return True for the metals of which a reading tells how they answer a magnet, shape (n_metals,)."""
    told = np.zeros(len(library))
    told[compiled_for(library).bench.magnet.by_composition] = 1.0
    return np.asarray(with_kinds(library, told) > 0.0)


def _is_done(kind: CheckKind, bench: BenchFacts) -> bool:
    known = {
        CheckKind.MAGNET: bench.magnet,
        CheckKind.HEFT: bench.heft or bench.density_g_cm3,
        CheckKind.SCRATCH: bench.scratch,
        CheckKind.FILE: bench.scratch,
        CheckKind.CONDUCTIVITY: bench.iacs_pct,
        CheckKind.SPARK: bench.spark,
        CheckKind.WATER: bench.density_g_cm3,
    }
    return known[kind] is not None


@functools.lru_cache(maxsize=64)
def _table(
    kind: CheckKind, around: BenchFacts, values: tuple[tuple[str, float], ...], library: GradeLibrary
) -> Showing:
    found = list(_findings(kind, around))
    read, compiled = dict(values), compiled_for(library).bench
    log_odds = np.zeros((len(found), len(library)))
    for row, (_, _, bench) in enumerate(found):
        for fact in bench_facts(bench, compiled, read):
            log_odds[row] += fact.log_likelihood
    widths = np.array([width for _, width, _ in found])
    odds = np.exp(log_odds) * widths[:, None]
    is_measured = kind in (CheckKind.WATER, CheckKind.CONDUCTIVITY)
    return Showing(
        outcomes=tuple(name for name, _, _ in found),
        chances=with_kinds(library, odds / odds.sum(axis=0)),
        values=np.array([float(name) for name, _, _ in found]) if is_measured else None,
    )


def _findings(kind: CheckKind, around: BenchFacts) -> Iterator[tuple[str, float, BenchFacts]]:
    """Yield each outcome with the width of its class and the bench facts that it would add."""
    match kind:
        case CheckKind.MAGNET:
            for pull in MagnetPull:
                yield pull.value, 1.0, replace(around, magnet=pull)
        case CheckKind.HEFT:
            for heft in Heft:
                yield heft.value, 1.0, replace(around, heft=heft)
        case CheckKind.SCRATCH | CheckKind.FILE:
            for colour in Colour:
                yield colour.value, 1.0, replace(around, scratch=colour)
        case CheckKind.SPARK:
            for spark in Spark:
                yield spark.value, 1.0, replace(around, spark=spark)
        case CheckKind.WATER:
            steps = round(np.log(MOST_DENSITY / LEAST_DENSITY) / (CLASS_SIGMAS * DENSITY_SIGMA_REL))
            edges = np.geomspace(LEAST_DENSITY, MOST_DENSITY, steps + 1)
            for low, high in itertools.pairwise(edges):
                middle = float(0.5 * (low + high))
                yield (
                    f"{middle:.4g}",
                    float(high - low),
                    replace(around, density_g_cm3=Measured(value=middle)),
                )
        case CheckKind.CONDUCTIVITY:
            width = CLASS_SIGMAS * IACS_SIGMA_PCT
            for low in np.arange(0.0, MOST_IACS_PCT, width):
                middle = float(low + 0.5 * width)
                yield f"{middle:.4g}", width, replace(around, iacs_pct=Measured(value=middle))
