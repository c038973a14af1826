"""The control rules on series made by hand, and by chance."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.yard.coupons.control_rules import Rule, individuals_chart, signal_size, signals

SERIES = st.lists(st.floats(-5, 5), min_size=1, max_size=30)


def test_one_beyond_three_sigma_on_either_side() -> None:
    """3.0 is inside, 3.01 and -3.01 are outside, and the point after it ends the alarm."""
    assert signals([3.0]) == ()
    assert signals([3.01]) == (Rule.BEYOND_THREE,)
    assert signals([-3.01]) == (Rule.BEYOND_THREE,)
    assert signals([3.01, 0.2]) == ()


def test_two_of_three_beyond_two_sigma_on_one_side() -> None:
    """Two far points speak with one between them, not with two, and not on different sides."""
    assert signals([2.1, 2.2]) == (Rule.TWO_OF_THREE,)
    assert signals([2.1, -0.5, 2.2]) == (Rule.TWO_OF_THREE,)
    assert signals([2.1, 0.0, 0.0, 2.2]) == ()
    assert signals([2.1, -2.2]) == ()
    assert signals([2.1, 2.2, 0.1]) == ()


def test_a_run_of_eight() -> None:
    """Seven on one side are chance, eight are not; a zero or the other side begins anew."""
    assert signals([0.1] * 7) == ()
    assert signals([-0.1] * 8) == (Rule.EIGHT_RUNNING,)
    assert signals([0.1] * 4 + [0.0] + [0.1] * 7) == ()
    assert signals([0.1] * 20 + [-0.1]) == ()


def test_nothing_yet_says_nothing() -> None:
    """Without a shot there is no signal."""
    assert signals([]) == ()
    assert signal_size([], ()) == 0.0


def test_the_size_is_that_of_the_points_that_broke_the_rule() -> None:
    """3.5 for one far point, the mean of the two far ones, the mean of the eight, each with its sign."""
    assert signal_size([0.0, -3.5], [Rule.BEYOND_THREE]) == -3.5
    assert signal_size([2.2, 0.0, 2.4], [Rule.TWO_OF_THREE]) == pytest.approx(2.3)
    assert signal_size([-1.0] * 9, [Rule.EIGHT_RUNNING]) == -1.0


@given(SERIES)
def test_a_mirrored_series_breaks_the_same_rules(z: list[float]) -> None:
    """High and low are judged alike."""
    assert signals(z) == signals([-value for value in z])
    assert signal_size(z, signals(z)) == -signal_size([-value for value in z], signals(z))


@given(SERIES)
def test_what_lies_further_back_than_eight_points_is_forgotten(z: list[float]) -> None:
    """The rules look at the last eight points and no further."""
    assert signals(z) == signals(z[-8:])


@given(st.lists(st.floats(-5, 5), min_size=2, max_size=30), st.floats(-10, 10))
def test_a_shift_moves_the_limits_and_leaves_their_width(values: list[float], shift: float) -> None:
    """Adding a constant to every value moves the chart and leaves its width."""
    here, there = individuals_chart(values), individuals_chart([value + shift for value in values])

    assert abs((there.upper - there.lower) - (here.upper - here.lower)) < 1e-9
    assert abs(there.mean - here.mean - shift) < 1e-9
