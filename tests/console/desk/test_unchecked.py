"""A reading settles nothing while the analyser is overdue or out of control."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from console.desk import Consideration, Desk
from console.yard.placing.placement import Sureness

READ = "12.4 cr18.2 ni8.1 mn1.5 mo0.2 cu0.3 fe71.3"
GOOD, BAD = "cr16.8 ni10.2 mo2.1 mn1.5", "cr14.0 ni10.2 mo2.1 mn1.5"


class Clock:
    """Stands until it is told otherwise."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def watch(clock: Callable[[], datetime]) -> Clock:
    return Clock(clock())


@pytest.fixture
def desk(yard_folder: Path, watch: Clock) -> Desk:
    """The demo yard, whose coupon was never shot."""
    return Desk.open(yard_folder, now=watch)


def said(considered: Consideration) -> tuple[Sureness, str]:
    assert considered.placement is not None
    return considered.placement.sureness, considered.placement.reason


def test_a_reading_settles_only_while_the_coupon_is_in_control(desk: Desk, watch: Clock) -> None:
    """Overdue, checked, overdue again by the clock alone, out of control: the word follows, and says why."""
    never = said(desk.consider(READ))
    desk.checks.shoot("316", GOOD)
    checked = said(desk.consider(READ))
    watch.now += timedelta(hours=4)
    late = said(desk.consider(READ))
    desk.checks.shoot("316", BAD)
    out = said(desk.consider(READ))

    assert [sureness for sureness, _ in (never, checked, late)] == [
        Sureness.LEANING,
        Sureness.SETTLED,
        Sureness.LEANING,
    ]
    assert never[1].endswith("not settled while the xrf analyser is overdue: shoot 316 coupon")
    assert late[1] == never[1]
    assert "not settled" not in checked[1]
    assert out[0] is not Sureness.SETTLED


def test_what_is_named_by_hand_needs_no_analyser(desk: Desk) -> None:
    """A stamped extrusion is settled whatever the coupon says, and so is the reading of another technique."""
    by_lab = READ.replace("12.4", "12.4 lab")

    assert said(desk.consider("12.4 6063 ext bare"))[0] is Sureness.SETTLED
    assert said(desk.consider(by_lab))[0] is Sureness.SETTLED


def test_the_bay_is_the_same_and_no_check_of_the_piece_is_asked(desk: Desk) -> None:
    """Only the word changes: the piece goes where it went, and the coupon is what is to be shot."""
    overdue = desk.consider(READ)
    desk.checks.shoot("316", GOOD)
    checked = desk.consider(READ)

    assert overdue.placement is not None and checked.placement is not None
    assert overdue.placement.bay == checked.placement.bay
    assert desk.piece.advice(overdue) == desk.piece.advice(checked)
