"""What settled loads teach of a bay, against the posterior worked out by scipy on a grid."""

from typing import Any

import numpy as np
import pytest
from scipy.integrate import simpson
from scipy.stats import norm

from console.yard.loads.buyer import DecisionRule
from console.yard.loads.learning import shifts_of
from console.yard.loads.load_sheet import LoadSheet, SheetPart
from console.yard.loads.settling import Difference, Finding, Settled


def load(parts: dict[str, int], *, found: float, own: float, common: float, unread: float = 1.0) -> Settled:
    """Return a settled load of so many grams of each bay, its copper estimated at 0.20."""
    rest: dict[str, Any] = {
        key: ""
        for key in ("yard_name", "begun", "buyer", "buyer_name", "address", "order", "order_name", "currency")
    }
    made = tuple(
        SheetPart(name=bay, bay=bay, bay_name="", mass_g=mass_g, pieces=1, is_loose=False, base="Fe")
        for bay, mass_g in parts.items()
    )
    sheet = LoadSheet(
        tag="T1-C1", head=(), unit="kg", accepts=(), decision=DecisionRule.SHARED_RISK, price_per_kg="1",
        parts=made, unread={"Cu": unread}, **rest,
    )  # fmt: skip
    difference = Difference(symbol="Cu", estimated=0.20, found=found, own=own, common=common)
    return Settled(tag="T1-C1", day="2026-03-14", sheet=sheet, finding=Finding(), differences=(difference,))


def test_one_bay_is_the_posterior_of_a_normal_mean() -> None:
    """Mean and width of the bias are those of prior times likelihood, summed up over a grid (scipy)."""
    loads = [load({"STN": 900}, found=f, own=0.03, common=0.08) for f in (0.28, 0.33, 0.25)]
    at = np.linspace(-0.6, 0.6, 4001)
    density = norm(0.0, 0.08).pdf(at)
    for one in loads:
        density = density * norm(at, 0.03).pdf(one.differences[0].value)
    density /= simpson(density, x=at)
    mean = simpson(at * density, x=at)

    [shift] = shifts_of(loads)
    assert (shift.bay, shift.symbol, shift.loads) == ("STN", "Cu", 3)
    assert shift.found == pytest.approx(np.mean([0.08, 0.13, 0.05]))
    assert shift.mean == pytest.approx(mean, abs=1e-6)
    assert 0.0 < shift.mean < shift.found
    assert shift.sigma == pytest.approx(np.sqrt(simpson((at - mean) ** 2 * density, x=at)), abs=1e-6)
    assert (shift.before, shift.estimated, shift.unread) == pytest.approx((0.08, 0.20, 1.0))


def test_loads_of_two_bays_teach_of_both_at_once() -> None:
    """A mixed load cannot tell whose metal was off; one of the first bay alone tells it (scipy, grid)."""
    mixed = load({"STN": 600, "SFC": 400}, found=0.30, own=0.02, common=0.10)
    alone = load({"STN": 500}, found=0.20, own=0.02, common=0.10)
    axis = np.linspace(-0.5, 0.5, 401)
    x, y = np.meshgrid(axis, axis, indexing="ij")
    density = norm(0.0, 0.10).pdf(x) * norm(0.0, 0.10).pdf(y) * norm(0.6 * x + 0.4 * y, 0.02).pdf(0.10)
    density = density * norm(x, 0.02).pdf(0.0)
    density /= density.sum()

    shifts = {shift.bay: shift for shift in shifts_of([mixed, alone])}
    assert shifts["STN"].mean == pytest.approx((x * density).sum(), abs=1e-5)
    assert shifts["SFC"].mean == pytest.approx((y * density).sum(), abs=1e-5)
    assert shifts["SFC"].mean > 4 * abs(shifts["STN"].mean)
    assert shifts["SFC"].sigma == pytest.approx(
        np.sqrt(((y - shifts["SFC"].mean) ** 2 * density).sum()), abs=1e-4
    )
    assert (shifts["STN"].loads, shifts["SFC"].loads) == (2, 1)


def test_what_is_sure_beforehand_teaches_nothing() -> None:
    """Where the loads have nothing in common that is unsure, a difference is chance."""
    assert shifts_of([load({"STN": 900}, found=0.4, own=0.05, common=0.0)]) == []
    assert shifts_of([]) == []
