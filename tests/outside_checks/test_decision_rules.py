"""Decision rules and coverage against the worked examples of JCGM 106:2012 and against scipy.

The examples are told from memory of the document; their clause numbers too.
"""

import math

import numpy as np
import pytest
from scipy import stats

from console.yard.chemistry.headroom import chance_kept
from console.yard.loads.buyer import DecisionRule, LoadLimit
from console.yard.loads.judging import COVERAGE, K, beyond
from console.yard.loads.pooling import LoadPart, pool
from grade_library.grade import Limit
from grade_library.lots.blending import Blend


def test_the_breakdown_voltage_of_a_diode() -> None:
    """JCGM 106:2012, 7.3.2, example 1: limit 5.40 V, estimate 5.47 V, u 0.05 V: conformance probability 0.92.

    The example has both voltages negative and an upper limit; mirrored, that is this lower one.
    """
    chance = chance_kept(Blend(wt_pct=5.47, sigma=0.05), Limit(low=5.40))

    assert round(chance, 2) == 0.92
    assert chance == pytest.approx(stats.norm.cdf(1.4), abs=2e-3)


@pytest.mark.parametrize("k", [0.0, 0.5, 1.0, 2.0, 3.0])
def test_the_conformance_probability_is_that_of_scipy(k: float) -> None:
    """For an uncertainty that is small against the content it is the normal distribution's (7.2.2)."""
    for limit in (Limit(high=10.0 + 0.05 * k), Limit(low=10.0 - 0.05 * k)):
        assert chance_kept(Blend(wt_pct=10.0, sigma=0.05), limit) == pytest.approx(
            stats.norm.cdf(k), abs=1e-3
        )


def test_a_content_near_nothing_is_skewed_as_scipys_gamma() -> None:
    """With an uncertainty as large as the content the gamma distribution of the same moments holds."""
    chance = chance_kept(Blend(wt_pct=0.1, sigma=0.08), Limit(high=0.25))

    shape = (0.1 / 0.08) ** 2
    assert chance == pytest.approx(stats.gamma.cdf(0.25, shape, scale=0.1 / shape), abs=1e-9)


def test_a_guard_band_of_u_leaves_a_risk_of_two_per_cent() -> None:
    """JCGM 106:2012, 8.3.2: behind a guard band of U = 2u at most 2.3 % of loads are beyond the limit."""
    limit = LoadLimit(words="Ni", terms={"Ni": 1.0}, limit=Limit(high=10.0))
    just = Blend(wt_pct=10.0 - K * 0.05 - 1e-9, sigma=0.05)

    assert beyond(just, limit, DecisionRule.GUARD_BAND) == 0.0
    assert 1.0 - chance_kept(just, limit.limit) == pytest.approx(stats.norm.sf(K), abs=5e-4)
    assert round(100 * stats.norm.sf(K), 1) == 2.3
    worse = Blend(wt_pct=just.wt_pct + 1e-3, sigma=0.05)
    assert beyond(worse, limit, DecisionRule.GUARD_BAND) > 0.0


def test_what_k_covers() -> None:
    """k = 2 covers 95.45 % of a normal distribution, as t does with degrees of freedom without end."""
    assert pytest.approx(stats.norm.cdf(K) - stats.norm.cdf(-K), abs=1e-12) == COVERAGE
    assert stats.t.cdf(K, 1e9) - stats.t.cdf(-K, 1e9) == pytest.approx(COVERAGE, abs=1e-6)


def test_pooling_is_what_drawing_comes_to() -> None:
    """The law of propagation against drawn loads: own errors for each bale, one common error for all."""
    chance = np.random.default_rng(20260302)
    masses, means = np.array([900, 700, 1200, 300]), np.array([0.20, 0.28, 0.24, 0.40])
    own, common = np.array([0.02, 0.05, 0.03, 0.08]), np.array([0.01, 0.02, 0.015, 0.03])
    bales = [
        LoadPart(
            name=str(n),
            mass_g=int(m),
            contents={"Cu": Blend(wt_pct=c, sigma=math.hypot(o, b), common=b)},
        )
        for n, (m, c, o, b) in enumerate(zip(masses, means, own, common, strict=True))
    ]

    shared = chance.standard_normal((200_000, 1))
    drawn = means + own * chance.standard_normal((200_000, 4)) + common * shared
    loads = drawn @ masses / masses.sum()

    copper = pool(bales).composition()["Cu"]
    assert copper.wt_pct == pytest.approx(loads.mean(), abs=3e-4)
    assert copper.sigma == pytest.approx(loads.std(), rel=0.01)
