"""The figures that a sale is made of: prices with what is turned away, contents as they are distributed, and
why something stays.

Checked against scipy.stats.gamma and prices worked out by hand.
"""

import numpy as np
import pytest
from scipy.stats import gamma

from console.yard.selling.plan import best_sale
from console.yard.selling.reach import quantiles
from console.yard.selling.sale import LoadLimit, Outlet, Part, Sale, Source
from console.yard.selling.sampling import limits_kept
from grade_library.lots.blending import Blend


def test_what_is_turned_away_fetches_the_downgrade_price() -> None:
    """A tenth is turned away: 0.9 of 1.00 and 0.1 of 0.20 are 0.92 a kilogram."""
    source = Source(name="s", mass_kg=1.0, contents={}, refused_share=0.1)

    assert Outlet(name="b", price_per_kg=1.0, downgrade_per_kg=0.2).pays(source, 1.0) == pytest.approx(0.92)


@pytest.mark.parametrize("wt_pct", [2.0, 30.0, 49.0, 51.0, 70.0, 98.0])
def test_the_lesser_part_is_gamma_distributed(wt_pct: float) -> None:
    """Below half the element itself, above it all the rest (scipy.stats.gamma)."""
    at, less = np.array([0.05, 0.5, 0.95]), min(wt_pct, 100.0 - wt_pct)
    sigma = 0.4 * less
    theirs = gamma((less / sigma) ** 2, scale=sigma**2 / less)

    expected = theirs.ppf(at) if wt_pct < 50.0 else 100.0 - theirs.ppf(1.0 - at)
    assert quantiles(Blend(wt_pct=wt_pct, sigma=sigma), at) == pytest.approx(expected)


@pytest.mark.parametrize(("high", "is_alike"), [(0.5, True), (0.25, False)])
def test_the_worse_way_to_draw_counts(high: float, is_alike: bool) -> None:
    """Two equal sources: above the mean the limit is kept least where both err alike, which is as one does;
    below it where each errs by itself, a sum of two (scipy.stats.gamma)."""
    content = Blend(wt_pct=0.3, sigma=0.2)
    sources = tuple(Source(name=name, mass_kg=1.0, contents={"Cu": content}) for name in "ab")
    outlet = Outlet(name="b", price_per_kg=1.0, limits=(LoadLimit(name="x", weights={"Cu": 1.0}, high=high),))
    parts = tuple(Part(source=one.name, outlet="b", mass_kg=1.0) for one in sources)
    shape, scale = (0.3 / 0.2) ** 2, 0.2**2 / 0.3
    alike, apart = gamma(shape, scale=scale).cdf(high), gamma(2.0 * shape, scale=0.5 * scale).cdf(high)
    assert bool(alike < apart) is is_alike

    [found] = limits_kept(Sale(sources=sources, outlets=(outlet,)), parts)
    assert found.kept == pytest.approx(min(alike, apart), abs=0.001 if is_alike else 0.03)


@pytest.mark.parametrize(
    ("outlet", "reason"),
    [
        (Outlet(name="b", price_per_kg=0.5), "pays 0.50/kg, it is worth 0.80/kg where it lies"),
        (Outlet(name="b", price_per_kg=1.0, most_kg=600.0), "takes 600 kg, 0 kg are left of it"),
        (
            Outlet(
                name="b",
                price_per_kg=1.0,
                limits=(LoadLimit(name="Cu<=0.2", weights={"Cu": 1.0}, high=0.2),),
            ),
            "Cu<=0.2: has 0.30, maybe 0.30, and nothing that is left makes up for it",
        ),
    ],
)
def test_what_stays_has_its_own_reason(outlet: Outlet, reason: str) -> None:
    """The price, the tonnage or the limit that keeps a tonne at 0.30 % Cu, worth 0.80 per kg, is named."""
    source = Source(name="s", mass_kg=1000.0, contents={"Cu": Blend(wt_pct=0.3, sigma=0.0)}, kept_per_kg=0.8)

    [left] = best_sale(Sale(sources=(source,), outlets=(outlet,))).left_out
    assert left.reasons == (("b", reason),)
