"""Worked numbers for small formulas around the matcher: blends, scaled readings, the pull of worked metal."""

import numpy as np
import pytest
from scipy import stats
from uncertainties import ufloat

from grade_library.bench.magnetism import chance_pull_when_worked
from grade_library.lots.blending import step_moments
from grade_library.matcher.hypotheses import CLEARLY_BETTER
from grade_library.matcher.unlisted import BROAD_SHARE, GROUP_SHARE
from grade_library.reading import _scaled_sigma


def test_moments_of_two_steps() -> None:
    """Mean and deviation of 0.7 uniform(1, 2) + 0.3 uniform(2, 5): scipy.stats, law of total variance."""
    first, second = stats.uniform(1.0, 1.0), stats.uniform(2.0, 3.0)
    mean = 0.7 * first.mean() + 0.3 * second.mean()
    square = 0.7 * (first.var() + first.mean() ** 2) + 0.3 * (second.var() + second.mean() ** 2)

    found = step_moments(*(np.array([edge]) for edge in (1.0, 2.0, 5.0, 0.7)))

    assert [float(one[0]) for one in found] == pytest.approx([mean, (square - mean**2) ** 0.5])


def test_uncertainty_after_scaling_to_a_hundred() -> None:
    """100 x / (x + y + z) for 70, 20 and 10: propagated by the package uncertainties."""
    values, sigma = {"Fe": 70.0, "Cr": 20.0, "Ni": 10.0}, {"Fe": 1.5, "Cr": 0.3, "Ni": 0.2}
    parts = {symbol: ufloat(value, sigma[symbol]) for symbol, value in values.items()}
    whole = parts["Fe"] + parts["Cr"] + parts["Ni"]

    found = _scaled_sigma(values, sigma)

    assert found == pytest.approx({symbol: (100.0 * one / whole).std_dev for symbol, one in parts.items()})


@pytest.mark.parametrize(
    ("md30", "chance"), [(-45.0, 0.5), (-20.0, 0.929299), (-70.0, 0.070701), (-28.0, 0.841345)]
)
def test_the_pull_of_worked_metal(md30: float, chance: float) -> None:
    """The normal distribution at (Md30 + 45) / 17: 25/17 gives 0.929, 1 gives 0.841 (tables of it)."""
    assert float(chance_pull_when_worked(np.array([md30]))[0]) == pytest.approx(chance, abs=1e-5)


def test_fitted_shares_are_the_fitted_ones() -> None:
    """The shares that were fitted on families left out are changed with a new fit only, and here with it."""
    assert (GROUP_SHARE, BROAD_SHARE, CLEARLY_BETTER) == (0.20, 0.15, 10.0)
