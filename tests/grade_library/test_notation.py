"""Limits as text and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grade_library.errors import GradeDataError
from grade_library.grade import Limit
from grade_library.loading.notation import nominal_range, read_limit, write_limit

figures = st.integers(0, 1_000_000).map(lambda n: n / 10_000)


@given(low=figures, high=figures)
def test_a_range_comes_back_as_it_was_written(low: float, high: float) -> None:
    """Any two figures of up to four decimals survive writing and reading."""
    limit = Limit(
        low=min(low, high), high=max(low, high), is_low_reckoned=low < high, is_high_reckoned=low > 50
    )

    assert read_limit(write_limit(limit)) == limit


@given(value=figures.filter(lambda v: v > 0))
def test_a_nominal_value_gets_a_spread_that_holds_it(value: float) -> None:
    """The spread lies within 0..100, holds the value, and the value itself is what is written back."""
    limit = read_limit(f"={value:.4f}")

    assert limit.low is not None and limit.high is not None
    assert 0.0 <= limit.low <= value <= limit.high <= 100.0
    assert write_limit(limit) == write_limit(read_limit(write_limit(limit)))


@pytest.mark.parametrize(
    ("text", "limit"),
    [
        ("17.5-19.5", Limit(low=17.5, high=19.5)),
        ("8 – 10.5", Limit(low=8.0, high=10.5)),
        ("<=0.07", Limit(high=0.07)),
        ("~0.1-0.7", Limit(low=0.1, high=0.7, is_low_reckoned=True)),
        ("0.1-~0.7", Limit(low=0.1, high=0.7, is_high_reckoned=True)),
        ("<=~0.3", Limit(high=0.3, is_high_reckoned=True)),
        ("rest >=~62", Limit(low=62.0, is_rest=True, is_low_reckoned=True)),
        ("≥99.5", Limit(low=99.5)),
        ("rest", Limit(is_rest=True)),
        ("rest >=62", Limit(low=62.0, is_rest=True)),
        ("rest 60-70", Limit(low=60.0, high=70.0, is_rest=True)),
        ("=12", Limit(low=10.8, high=13.2, nominal=12.0)),
    ],
)
def test_every_form_is_read(text: str, limit: Limit) -> None:
    """Every way to write a limit is read."""
    assert read_limit(text) == limit


@pytest.mark.parametrize(
    "text", ["", "17,5-19,5", "8", "max 3", "10-5", "<=101", "rest of it", "-3", "1e3", "nan", "<=x"]
)
def test_what_is_no_limit_is_refused(text: str) -> None:
    """What is no limit is refused."""
    with pytest.raises(GradeDataError):
        read_limit(text)


def test_spread_of_nominal_values() -> None:
    """A tenth of the value, at least 0.05 and at most 2 wt %."""
    assert nominal_range(0.1) == (0.05, 0.15, 0.1)
    assert nominal_range(5.0) == (4.5, 5.5, 5.0)
    assert nominal_range(90.0) == (88.0, 92.0, 90.0)
    assert nominal_range(0.02)[0] == 0.0
