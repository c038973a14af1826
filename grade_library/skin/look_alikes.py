"""Bare metal that reads like a skin over a commoner metal: both count, at how often a yard meets them."""

import functools
import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from grade_library.bench.observations import bench_facts
from grade_library.facts import BenchFacts
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Compiled, Evidence
from grade_library.matcher.hypotheses import Posterior
from grade_library.normal import FloatArray, log_sum_exp
from grade_library.skin.bench import coated_log_likelihood
from grade_library.skin.coatings import coating_named
from grade_library.skin.hypotheses import CoatedPiece

COMES_IN_QUESTION = 0.2
"""Probability of the families it reads as, from which a look-alike is thought of."""
MARK_WT_PCT, LEAST_MARK_WT_PCT = 50.0, 0.3
"""An element with so much of a layer marks the skin; it counts where so much of it was read [wt %]."""
BROUGHT_WT_PCT = 1.0
"""An element of which a layer holds less is no more in it than in any plating [wt %] (memory)."""
OUTSIDE_SIGMAS = 2.0
"""A reading lies outside a grade where an element is this far beyond a limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAlike:
    """One pair, from data/look_alikes.toml."""

    reads_as: frozenset[str]
    """Families."""
    is_outside: bool
    """Only where the reading lies outside the limits of the likeliest grade."""
    skin: str
    over: frozenset[str]
    """Families."""
    odds: float
    """Skins for one piece of the bare metal, among readings of an unprepared spot."""
    tell: str
    """What splits the two, with what each answer means."""


@functools.cache
def look_alikes() -> tuple[LookAlike, ...]:
    """Return every pair, in the order of the data file."""
    data = resources.files("grade_library") / "data" / "look_alikes.toml"
    table: Mapping[str, Any] = tomllib.loads(data.read_text("utf-8"))
    return tuple(
        LookAlike(
            reads_as=frozenset(row["reads_as"]),
            is_outside=bool(row.get("outside", False)),
            skin=str(row["skin"]),
            over=frozenset(row["over"]),
            odds=float(row["odds"]),
            tell=str(row["tell"]),
        )
        for row in table["look_alike"]
    )


def in_question(
    library: GradeLibrary, compiled: Compiled, evidence: Evidence, posterior: Posterior
) -> list[LookAlike]:
    """Return the pairs that a single shot on an unprepared spot may be one of.

    Args:
        library: The grades.
        compiled: What was worked out for them.
        evidence: What the facts say of bare metal.
        posterior: The same, weighed.
    """
    if len(evidence.readings) != 1:
        return []
    by_kind = compiled.kinds.summed(posterior.probability) + posterior.members
    best = int(np.argmax(posterior.probability))
    found = []
    for pair, share in zip(look_alikes(), (_kinds_read_as(compiled) @ by_kind).tolist(), strict=True):
        if share < COMES_IN_QUESTION or not _holds_skin(pair, evidence):
            continue
        if (not pair.is_outside or _is_outside(evidence, best)) and _beneath(pair, library, evidence).size:
            found.append(pair)
    return found


def _beneath(pair: LookAlike, library: GradeLibrary, evidence: Evidence) -> NDArray[np.int64]:
    """Return the grades that can lie beneath the skin: what was read and the skin does not bring, they hold.

    A skin only thins what is beneath it, so more than their limits allow is no sign of them but of another
    metal.
    """
    reading = evidence.readings[0]
    melts, observed = reading.readable.melts, reading.observed
    layers = coating_named(pair.skin).layers
    brought = {s for layer in layers for s, content in layer.wt_pct.items() if content >= BROUGHT_WT_PCT}
    beside = np.array([symbol not in brought for symbol in melts.elements]) & ~np.isnan(observed.value)
    rows = np.flatnonzero(_is_of(library, pair.over))
    terms = melts.index[np.ix_(rows, np.flatnonzero(beside))]
    most = melts.high[terms] + melts.soft_high[terms] + OUTSIDE_SIGMAS * observed.sigma[beside]
    return rows[(observed.value[beside] <= most).all(axis=1)]


@functools.lru_cache(maxsize=32)
def _is_of(library: GradeLibrary, families: frozenset[str]) -> NDArray[np.bool_]:
    return np.array([grade.family in families for grade in library.grades])


@functools.lru_cache(maxsize=4)
def _kinds_read_as(compiled: Compiled) -> FloatArray:
    """Return 1 where a pair reads as a kind of metal, shape (n_pairs, n_kinds)."""
    kinds = compiled.kinds.kinds
    return np.array([[float(kind.family in pair.reads_as) for kind in kinds] for pair in look_alikes()])


def _holds_skin(pair: LookAlike, evidence: Evidence) -> bool:
    """Return True where a main element of the skin was read."""
    values = evidence.readings[0].averaged.values
    layers = [layer for layer in coating_named(pair.skin).layers if not layer.is_optional]
    marks = {s for layer in layers for s, content in layer.wt_pct.items() if content >= MARK_WT_PCT}
    return any(values.get(symbol, 0.0) >= LEAST_MARK_WT_PCT for symbol in marks)


def _is_outside(evidence: Evidence, row: int) -> bool:
    reading = evidence.readings[0]
    melts, observed = reading.readable.melts, reading.observed
    terms = melts.index[row]
    asked = melts.is_demanded[terms]
    out = np.maximum(melts.low[terms] - observed.value, observed.value - melts.high[terms]) / observed.sigma
    return bool(np.any(np.nan_to_num(np.where(asked, out, 0.0)) > OUTSIDE_SIGMAS))


def look_alike_pieces(
    pairs: list[LookAlike],
    library: GradeLibrary,
    compiled: Compiled,
    evidence: Evidence,
    shares: FloatArray,
    bench: BenchFacts,
) -> Iterator[CoatedPiece]:
    """Yield each pair's skin, as likely by the reading as the metal that it reads as, at its odds.

    Hand and eye tell of the metal beneath: magnet, heft and a scratch split the two.
    """
    by_hand = bench_facts(bench, compiled.bench, {})
    said = evidence.claim.log_likelihood if evidence.claim else np.zeros(len(library))
    for pair in pairs:
        bare, rows = _is_of(library, pair.reads_as), _beneath(pair, library, evidence)
        coating = coating_named(pair.skin)
        by_reading = log_sum_exp((np.log(shares) + evidence.from_readings)[bare])
        hand = coated_log_likelihood(bench, by_hand, len(library), coating) + said
        weight = np.log(shares[rows]) - log_sum_exp(np.log(shares[rows]))
        ones = np.ones((1, len(rows)))
        yield CoatedPiece(
            name=pair.skin,
            rows=rows,
            log_joint=math.log(pair.odds) + by_reading + weight + hand[rows],
            skinned=ones,
            shares=0.5 * ones,
            added=np.zeros((len(rows), 0)),
            tell=pair.tell,
        )
