"""Shares of re-checks against a general library of statistics."""

import pytest
from scipy.stats import binomtest

from console.yard.rechecks.confusion import wilson


@pytest.mark.parametrize("confidence", [0.8, 0.95, 0.99])
@pytest.mark.parametrize(
    ("right", "checked"), [(0, 1), (1, 1), (0, 20), (20, 20), (9, 10), (37, 52), (980, 1000)]
)
def test_the_interval_is_that_of_scipy(right: int, checked: int, confidence: float) -> None:
    """Wilson's interval without correction, as scipy.stats.binomtest gives it."""
    theirs = binomtest(right, checked).proportion_ci(confidence_level=confidence, method="wilson")

    ours = wilson(right, checked, confidence)

    assert ours.low == pytest.approx(theirs.low, abs=1e-12)
    assert ours.high == pytest.approx(theirs.high, abs=1e-12)


def test_a_published_example() -> None:
    """81 of 263 give 0.2553 to 0.3662.

    Source: R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (memory).
    """
    share = wilson(81, 263)

    assert (round(share.low, 4), round(share.high, 4)) == (0.2553, 0.3662)
