"""The control chart and the state as text."""

from datetime import UTC, datetime, timedelta

import pytest

from console.reports.check_text import chart, controls_text
from console.yard.coupons.check_samples import CheckSample, ElementCheck
from console.yard.coupons.check_state import CheckShot, SampleControl, control_of

SIX = datetime(2031, 5, 2, 6, 0, tzinfo=UTC)
COUPON = CheckSample(name="316 coupon", technique="xrf", known={"Cr": 16.8})


def control(*z: float) -> SampleControl:
    shots = [
        CheckShot(
            sample=COUPON.name,
            technique="xrf",
            at=SIX + timedelta(hours=hour),
            person="Ada",
            elements=(ElementCheck(symbol="Cr", measured=16.8 + value * 0.25, known=16.8, sigma=0.25),),
        )
        for hour, value in enumerate(z)
    ]
    return control_of(COUPON, shots, SIX + timedelta(hours=len(z)))


def test_points_stand_at_their_height() -> None:
    """One column per shot, oldest left; far off is an arrow, a broken rule a filled mark."""
    (element,) = control(0.0, 1.0, -1.9, 3.2, -9.0).elements

    assert chart(element) == [
        "         ●",
        " +3 σ ─────",
        " +2 σ ·····",
        "       o",
        "known o┄┄┄┄",
        "",
        " -2 σ ··o··",
        " -3 σ ─────",
        "          ▼",
    ]


def test_the_plain_twin_is_ascii_and_of_the_same_shape() -> None:
    """The chart for plain terminals has the same columns in ASCII."""
    (element,) = control(0.0, 1.0, -1.9, 3.2, -9.0).elements

    drawn, twin = chart(element), chart(element, is_plain=True)

    assert [len(row) for row in twin] == [len(row) for row in drawn]
    assert controls_text([control(0.0, 3.2)], is_plain=True).isascii()


@pytest.mark.parametrize("count", [0, 1, 30, 300])
def test_never_wider_than_eighty(count: int) -> None:
    """However many shots there are, the newest fill at most 80 columns."""
    text = controls_text([control(*[(-1) ** i * 1.2 for i in range(count)])])

    assert max(map(len, text.splitlines())) <= 80


def test_own_scatter_is_told_from_twenty_shots_on() -> None:
    """A coupon that scatters less than the σ reckoned with shows it: moving range 0.2, divided by 1.128."""
    few, many = (controls_text([control(*[(-1) ** i * 0.1 for i in range(n)])]) for n in (19, 20))

    assert "own scatter" not in few
    assert "own scatter 0.18 of the σ reckoned with, mean +0.00 σ" in many
