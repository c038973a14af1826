"""Whether a planned load keeps its limits as often as promised: drawn many times over."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from console.yard.selling.reach import quantiles
from console.yard.selling.sale import LoadLimit, Part, Sale, Source
from grade_library.normal import FloatArray

DRAWS = 4000
"""Standard error of a share of 0.95: 0.35 per cent."""
SEED = 20260302
"""Any number: the same plan is checked by the same draws."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitKept:
    """How often a load keeps one limit."""

    outlet: str
    limit: str
    expected: float
    """Content of the load [wt %]."""
    sigma: float
    """Its standard uncertainty, as if all sources erred together [wt %]."""
    kept: float
    """Share of the draws in which it is kept, 0..1; the less of two ways to draw."""


def limits_kept(sale: Sale, parts: Sequence[Part]) -> tuple[LimitKept, ...]:
    """Return how often every limit of every load would be kept.

    Once every source errs by itself, once all err alike, as where an analyser reads all of them too low; the
    worse counts.
    """
    by_name = {source.name: source for source in sale.sources}
    found = []
    for outlet in sale.outlets:
        load = [(by_name[part.source], part.mass_kg) for part in parts if part.outlet == outlet.name]
        found += [_kept(outlet.name, limit, load) for limit in outlet.limits if load]
    return tuple(found)


def _kept(outlet: str, limit: LoadLimit, load: Sequence[tuple[Source, float]]) -> LimitKept:
    mass = sum(kg for _, kg in load)
    contents = [(kg / mass, source.content(limit.weights)) for source, kg in load]
    ways = [_drawn(limit, load, mass, errs_alike=errs_alike) for errs_alike in (False, True)]
    return LimitKept(
        outlet=outlet,
        limit=limit.name,
        expected=sum(share * one.wt_pct for share, one in contents),
        sigma=sum(share * one.sigma for share, one in contents),
        kept=min(_share_within(limit, drawn) for drawn in ways),
    )


def _share_within(limit: LoadLimit, drawn: FloatArray) -> float:
    low = -np.inf if limit.low is None else limit.low
    high = np.inf if limit.high is None else limit.high
    # A blend that meets its limit exactly keeps it, whatever the last bit of the sum says.
    return float(np.mean((drawn >= low - 1e-6) & (drawn <= high + 1e-6)))


def _drawn(
    limit: LoadLimit, load: Sequence[tuple[Source, float]], mass: float, *, errs_alike: bool
) -> FloatArray:
    """Return the content of the load in every draw [wt %], shape (DRAWS,)."""
    chance = np.random.default_rng(SEED)
    # Where all err alike one figure says everything: evenly spaced, so that no luck is in it.
    alike = (np.arange(DRAWS) + 0.5) / DRAWS
    total = np.zeros(DRAWS)
    for source, kg in load:
        for symbol, weight in limit.weights.items():
            content = source.contents.get(symbol)
            if content is not None:
                at = alike if errs_alike else chance.random(DRAWS)
                total += weight * kg / mass * quantiles(content, at)
    return total
