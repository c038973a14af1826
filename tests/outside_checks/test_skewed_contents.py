"""The chance of being over a limit against the gamma distribution of scipy, and against drawn residuals."""

import numpy as np
import pytest
from scipy import stats

from console.yard.chemistry.headroom import chance_kept
from grade_library.grade import Limit
from grade_library.lots.blending import Blend
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


@pytest.mark.parametrize(("mean", "sigma", "most"), [(0.25, 0.08, 0.40), (0.30, 0.20, 0.40), (3.0, 0.3, 3.5)])
def test_the_chance_that_a_bay_keeps_a_limit(mean: float, sigma: float, most: float) -> None:
    """A content is gamma distributed with its mean and variance: shape (m/s)², scale s²/m (scipy.stats);
    of a base metal all that lies beside it is, so that 100 - m has the very chance of its own mirror."""
    shape, scale = (mean / sigma) ** 2, sigma**2 / mean
    expected = float(stats.gamma.cdf(most, shape, scale=scale))

    kept = chance_kept(Blend(wt_pct=mean, sigma=sigma), Limit(high=most))
    beside = chance_kept(Blend(wt_pct=100.0 - mean, sigma=sigma), Limit(low=100.0 - most))
    under = chance_kept(Blend(wt_pct=mean, sigma=sigma), Limit(low=most))

    assert kept == pytest.approx(expected, abs=2e-3)
    assert beside == pytest.approx(expected, abs=2e-3)
    assert under == pytest.approx(1.0 - expected, abs=2e-3)


def test_a_well_known_content_keeps_a_limit_as_the_normal_says() -> None:
    """Ten sigmas from zero the skew is small: Φ((0.40 - 0.38)/0.03), within 0.02 (scipy.stats.norm)."""
    kept = chance_kept(Blend(wt_pct=0.38, sigma=0.03), Limit(high=0.40))

    assert kept == pytest.approx(float(stats.norm.cdf(2.0 / 3.0)), abs=0.02)
