"""Sampling plans: what must hold whatever the lot, and what is refused. Figures are checked in
outside_checks."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grade_library.errors import ObservationError
from grade_library.lots.sampling import (
    chance_of_passing,
    most_wrong,
    most_wrong_after,
    plan_for,
)
from grade_library.lots.sequential import WaldTest


@settings(max_examples=60, deadline=None)
@given(
    lot=st.integers(1, 400),
    share=st.floats(0.005, 0.6),
    confidence=st.floats(0.6, 0.999),
    accept=st.integers(0, 2),
)
def test_every_plan_keeps_its_risk(lot: int, share: float, confidence: float, accept: int) -> None:
    """A lot with the wrong pieces that must not pass does so at most by the risk; steps go up, within the
    lot."""
    plan = plan_for(lot, share, confidence, accept)

    assert list(plan.steps) == sorted(plan.steps)
    assert plan.steps[-1] <= lot
    assert plan.accept <= accept
    if plan.steps[-1] < lot:
        assert chance_of_passing(plan, plan.wrong) <= 1.0 - confidence + 1e-9
    assert chance_of_passing(plan, 0) == pytest.approx(1.0)


@settings(max_examples=40, deadline=None)
@given(lot=st.integers(2, 150), data=st.data())
def test_passing_gets_rarer_the_more_is_wrong(lot: int, data: st.DataObject) -> None:
    """A lot with more wrong pieces never passes more often."""
    plan = plan_for(lot, 0.1, 0.9, data.draw(st.integers(0, 2)))
    chances = [chance_of_passing(plan, wrong) for wrong in range(lot + 1)]

    assert all(more <= less + 1e-12 for less, more in itertools.pairwise(chances))


@settings(max_examples=40, deadline=None)
@given(lot=st.integers(1, 200), data=st.data())
def test_bounds_close_in_as_pieces_are_checked(lot: int, data: st.DataObject) -> None:
    """Clean checks only ever lower the bound; a lot checked whole is known."""
    bounds = [most_wrong(lot, n, 0, 0.95) for n in range(lot + 1)]

    assert bounds[0] == lot
    assert bounds[-1] == 0
    assert bounds == sorted(bounds, reverse=True)


def test_a_plan_with_one_allowed_starts_a_little_later() -> None:
    """The price of forgiving one wrong piece is a few pieces more in the first step."""
    none, one = plan_for(200, 0.05, 0.95, 0), plan_for(200, 0.05, 0.95, 1)

    assert none.steps[0] < one.steps[0] < 1.15 * none.steps[0]
    assert one.needed(0) == one.steps[0]
    assert one.needed(1) == one.steps[1]
    assert one.needed(2) is None


def test_a_small_lot_has_no_room_to_forgive() -> None:
    """5 % of 12 is one piece: a plan that lets one pass would prove nothing."""
    assert plan_for(12, 0.05, 0.95, 2).accept == 0


def test_a_lot_that_passed_late_is_bounded_no_tighter_than_asked() -> None:
    """Whenever a lot passes, what can still be wrong is bounded as the plan asked."""
    plan = plan_for(100, 0.05, 0.95, 2)

    assert [most_wrong_after(plan, step) for step in range(3)] == [4, 4, 4]


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: plan_for(0, 0.05, 0.95, 0), "a lot of 0 pieces"),
        (lambda: plan_for(10, 0.0, 0.95, 0), "share of wrong pieces 0"),
        (lambda: plan_for(10, 0.1, 1.0, 0), "risk 0"),
        (lambda: plan_for(10, 0.1, 0.9, 5), "acceptance number 5: needs 0 to 2"),
        (lambda: most_wrong(10, 2, 3, 0.95), "3 wrong pieces among 2 checked"),
        (lambda: WaldTest(good_share=0.1, bad_share=0.05), "need 0 < good < bad < 1"),
        (lambda: WaldTest(good_share=0.01, bad_share=0.05, alpha=0.5, beta=0.5), "with a sum below 1"),
        (lambda: WaldTest(good_share=0.01, bad_share=0.05).verdict(3, 4), "4 wrong pieces among 3"),
    ],
)
def test_what_cannot_be_is_refused(call: object, said: str) -> None:
    """A plan or test that cannot be is refused with the reason."""
    with pytest.raises(ObservationError) as error:
        call()

    assert said in str(error.value)
