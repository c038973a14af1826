"""Estimate against finding, held against the library `uncertainties`, which follows shared errors itself."""

import pytest
from uncertainties import ufloat

from console.yard.loads.buyer import DecisionRule
from console.yard.loads.load_sheet import LoadSheet, SheetPart
from console.yard.loads.settling import Bias, Finding, Settled, biases, differences
from grade_library.lots.blending import Blend
from grade_library.technique import profiles

OWN, COMMON = 0.03, 0.02
LOADS = ((900_000, 0, 0.20, 0.26), (600_000, 300_000, 0.22, 0.25), (300_000, 600_000, 0.18, 0.27))
"""Weight of bay AXC and of bay ALO [g], estimate and finding of copper [wt %]."""


def settled(number: int) -> Settled:
    axc_g, alo_g, estimate, found = LOADS[number]
    parts = [
        SheetPart(name=bay, bay=bay, bay_name="", mass_g=g, pieces=1, is_loose=False, base="Al")
        for bay, g in (("AXC", axc_g), ("ALO", alo_g))
        if g
    ]
    sheet = LoadSheet(
        tag=f"T1-C{number}", yard_name="", head=(), unit="kg", begun="", buyer="", buyer_name="", address="",
        order="", order_name="", accepts=(), decision=DecisionRule.SHARED_RISK, currency="EUR",
        price_per_kg="1", parts=tuple(parts),
        composition={"Cu": Blend(wt_pct=estimate, sigma=(OWN**2 + COMMON**2) ** 0.5, common=COMMON)},
    )  # fmt: skip
    finding = Finding(wt_pct={"Cu": found})
    return Settled(
        tag=sheet.tag,
        day="2026-03-01",
        sheet=sheet,
        finding=finding,
        differences=differences(sheet, finding, profiles()),
    )


def by_library(bay: str) -> tuple[float, float]:
    """Return mean and uncertainty of the differences of a bay: one common error, all others apart."""
    common, weighed, weight = ufloat(0.0, COMMON), [], 0.0
    for axc_g, alo_g, estimate, found in LOADS:
        share = (axc_g if bay == "AXC" else alo_g) / (axc_g + alo_g)
        analysis = ufloat(found, profiles()["lab"].sigma("Cu", found))
        weighed.append(share * (analysis - ufloat(estimate, OWN) - common))
        weight += share
    mean = sum(weighed[1:], weighed[0]) / weight
    return mean.nominal_value, mean.std_dev


@pytest.mark.parametrize("bay", ["AXC", "ALO"])
def test_the_bias_of_a_bay_is_that_of_the_library(bay: str) -> None:
    """Mean and uncertainty over three loads; the common error does not average away."""
    [found] = [one for one in biases([settled(number) for number in range(3)]) if one.bay == bay]

    mean, sigma = by_library(bay)
    assert found.mean == pytest.approx(mean)
    assert found.sigma == pytest.approx(sigma)
    assert found.sigma > COMMON


def test_bias_tells_how_many_loads_and_how_they_went() -> None:
    """A bay that was in two of three loads has two, oldest first; remarkable is what lies beyond 2u."""
    found = {one.bay: one for one in biases([settled(number) for number in range(3)])}

    assert (found["AXC"].loads, found["ALO"].loads) == (3, 2)
    assert found["AXC"].over_time == pytest.approx((0.06, 0.03, 0.09))
    assert not Bias(bay="A", symbol="Cu", loads=1, mean=0.1, sigma=0.05, over_time=()).is_remarkable
    assert Bias(bay="A", symbol="Cu", loads=1, mean=-0.11, sigma=0.05, over_time=()).is_remarkable
