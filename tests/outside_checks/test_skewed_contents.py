"""The chance of being over a limit against the gamma distribution of scipy, and against drawn residuals."""

import numpy as np
import pytest
from scipy import stats

from grade_library.lots.skewed import chance_above


@pytest.mark.parametrize("mean", [0.01, 0.24, 3.0])
@pytest.mark.parametrize("relative", [0.02, 0.3, 1.0, 4.0])
@pytest.mark.parametrize("of_mean", [0.2, 0.99, 1.01, 2.0, 6.0])
def test_it_is_the_gamma_distribution(mean: float, relative: float, of_mean: float) -> None:
    """scipy.stats.gamma with the same mean and standard deviation, from nearly normal to very skewed."""
    sigma = relative * mean
    expected = stats.gamma.sf(of_mean * mean, (mean / sigma) ** 2, scale=sigma**2 / mean)

    assert chance_above(of_mean * mean, mean, sigma) == pytest.approx(expected, abs=1e-9)


def test_a_nearly_certain_content_is_normal() -> None:
    """scipy.stats.norm where sigma is a thousandth of the mean."""
    assert chance_above(18.02, 18.0, 0.018) == pytest.approx(stats.norm.sf(18.02, 18.0, 0.018), abs=2e-3)


@pytest.mark.parametrize(("mean", "sigma", "above"), [(0.6, 0.0, 1.0), (0.4, 0.0, 0.0), (0.0, 0.0, 0.0)])
def test_without_a_spread_it_is_certain(mean: float, sigma: float, above: float) -> None:
    """A content that is known exactly lies above the limit or does not."""
    assert chance_above(0.5, mean, sigma) == above


def test_blends_of_unread_pieces_are_over_as_often_as_it_says() -> None:
    """Five equal pieces with exponential copper residuals of mean 0.22 wt %: drawn 200,000 times."""
    rng = np.random.default_rng(3)
    blends = rng.exponential(0.22, size=(200_000, 5)).mean(axis=1)

    for limit in (0.3, 0.4, 0.5):
        said = chance_above(limit, 0.22, 0.22 / np.sqrt(5.0))
        assert said == pytest.approx(float((blends > limit).mean()), abs=0.004)
