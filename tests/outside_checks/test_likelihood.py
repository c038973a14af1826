"""The interval likelihood against scipy: special functions and numerical integration of the convolution."""

import numpy as np
import pytest
from scipy import integrate, special, stats

from grade_library.matcher.likelihood import spread_density
from grade_library.normal import normal_cdf


def test_normal_distribution_agrees_with_scipy() -> None:
    """Φ agrees with scipy.special in both tails."""
    z = np.linspace(-37.0, 9.0, 4001)

    assert np.max(np.abs(normal_cdf(z) - special.ndtr(z))) < 5e-9
    assert np.max(np.abs(normal_cdf(z[z < 0]) / special.ndtr(z[z < 0]) - 1.0)) < 2e-8


@pytest.mark.parametrize(
    ("reading", "sigma", "low", "mid", "high", "share"),
    [
        (18.2, 0.25, 17.5, 18.5, 19.5, 0.5),
        (17.3, 0.10, 17.5, 18.5, 19.5, 0.57),
        (20.4, 0.30, 17.5, 18.5, 19.5, 0.57),
        (0.02, 0.03, 0.0, 0.026, 0.04, 0.75),
        (2.1, 0.70, 2.0, 2.05, 2.1, 0.5),
    ],
)
def test_spread_convolved_with_noise_agrees_with_numerical_integration(
    reading: float, sigma: float, low: float, mid: float, high: float, share: float
) -> None:
    """The density of a reading equals the integral of the melts' spread times the normal error
    (scipy.integrate.quad)."""

    def integrand(true: float) -> float:
        inside = share / (mid - low) if true < mid else (1.0 - share) / (high - mid)
        return inside * float(stats.norm.pdf(reading, loc=true, scale=sigma))

    exact = sum(integrate.quad(integrand, a, b, epsabs=1e-12)[0] for a, b in ((low, mid), (mid, high)))

    one = np.ones(1)
    ours = float(spread_density(reading * one, sigma * one, low * one, mid * one, high * one, share * one)[0])
    assert ours == pytest.approx(exact, rel=1e-6, abs=2e-8)
