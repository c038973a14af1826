"""Whether a planned load keeps its limits as often as promised: drawn many times over."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from console.yard.selling.reach import HALF_PCT, quantiles
from console.yard.selling.sale import Level, LoadLimit, Outlet, Part, Sale, Source
from grade_library.lots.blending import Blend
from grade_library.normal import FloatArray

DRAWS = 4000
"""Standard error of a share of 0.95: 0.35 per cent."""
ALIKE = 1000
"""So many evenly spaced quantiles where all err alike: a share is known within a thousandth."""
NO_LEVELS: Mapping[str, Level] = MappingProxyType({})
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
    asked: float
    """In which share it is to be kept, 0.5..1."""
    kept: float
    """Share of the draws in which it is kept, 0..1; the less of two ways to draw."""


def limits_kept(
    sale: Sale, parts: Sequence[Part], levels: Mapping[str, Level] = NO_LEVELS
) -> tuple[LimitKept, ...]:
    """Return how often every limit of every load would be kept, those that its price hangs on too.

    Once every source errs by itself, once all err alike, as where an analyser reads all of them too low; the
    worse counts.

    Args:
        sale: Sources and outlets.
        parts: What goes where.
        levels: Name of an outlet -> the price at which it gets something.
    """
    by_name = {source.name: source for source in sale.sources}
    found = []
    for outlet in sale.outlets:
        load = [(by_name[part.source], part.mass_kg) for part in parts if part.outlet == outlet.name]
        if load:
            claimed = levels[outlet.name].claimed if outlet.name in levels else ()
            found += [_kept(sale, outlet, limit, load) for limit in (*outlet.limits, *claimed)]
    return tuple(found)


def _kept(sale: Sale, outlet: Outlet, limit: LoadLimit, load: Sequence[tuple[Source, float]]) -> LimitKept:
    mass = sum(kg for _, kg in load)
    contents = [(kg / mass, source.content(limit.weights)) for source, kg in load]
    ways = [_drawn(limit, load, mass, errs_alike=errs_alike) for errs_alike in (False, True)]
    return LimitKept(
        outlet=outlet.name,
        limit=limit.name,
        expected=sum(share * one.wt_pct for share, one in contents),
        sigma=sum(share * one.sigma for share, one in contents),
        asked=outlet.confidence(sale.confidence),
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
    """Return the content of the load in every draw [wt %], shape (DRAWS,); (ALIKE,) where all err alike."""
    chance = np.random.default_rng(SEED)
    # Where all err alike one figure says everything: evenly spaced, so that no luck is in it.
    alike = (np.arange(ALIKE) + 0.5) / ALIKE
    total = np.zeros(ALIKE if errs_alike else DRAWS)
    for source, kg in load:
        for symbol, weight in limit.weights.items():
            content = source.contents.get(symbol)
            if content is not None:
                drawn = quantiles(content, alike) if errs_alike else drawn_contents(content, chance)
                total += weight * kg / mass * drawn
    return total


def drawn_contents(content: Blend, chance: np.random.Generator) -> FloatArray:
    """Return contents by chance [wt %], shape (DRAWS,), of the distribution of `reach.quantiles`."""
    is_most = content.wt_pct > HALF_PCT
    mean = 100.0 - content.wt_pct if is_most else content.wt_pct
    if content.sigma <= 0.0 or mean <= 0.0:
        return np.full(DRAWS, content.wt_pct)
    shape = (mean / content.sigma) ** 2
    less = chance.standard_gamma(shape, DRAWS) * mean / shape
    return np.asarray(100.0 - less if is_most else less, dtype=np.float64)
