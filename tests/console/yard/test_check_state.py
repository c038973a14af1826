"""The state of a coupon over its shots, what to do, and how much less readings count."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from console.yard.coupons.check_samples import CheckSample, ElementCheck
from console.yard.coupons.check_state import (
    WIDEST,
    CheckShot,
    ControlState,
    SampleControl,
    control_of,
    doubts,
    widened_profiles,
    widening,
    worst_state,
)
from console.yard.coupons.control_rules import Rule
from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary
from grade_library.matcher.matching import identify
from grade_library.technique import profiles

COUPON = CheckSample(name="316 coupon", technique="xrf", known={"Cr": 16.8, "Ni": 10.2}, every_hours=4)
SIX = datetime(2031, 5, 2, 6, 0, tzinfo=UTC)


def shot(z_cr: float, at: datetime = SIX, *, z_ni: float = 0.0, known_cr: float = 16.8) -> CheckShot:
    """Return a shot with these distances; σ is 0.2 wt %."""
    elements = tuple(
        ElementCheck(symbol=symbol, measured=known + z * 0.2, known=known, sigma=0.2)
        for symbol, known, z in (("Cr", known_cr, z_cr), ("Ni", 10.2, z_ni))
    )
    return CheckShot(sample="316 coupon", technique="xrf", at=at, person="Ada", elements=elements)


def series(*z: float) -> list[CheckShot]:
    """Return shots a minute apart, the first at six."""
    return [shot(value, SIX + timedelta(minutes=i)) for i, value in enumerate(z)]


def state(shots: list[CheckShot], now: datetime = SIX + timedelta(hours=1)) -> SampleControl:
    return control_of(COUPON, shots, now)


def test_never_shot_is_overdue() -> None:
    """A check sample that was never shot is overdue."""
    control = state([])

    assert control.state is ControlState.OVERDUE
    assert control.last_at is None
    assert "never shot" in control.what_to_do


def test_due_every_so_many_hours() -> None:
    """In control a minute before four hours are over, overdue from then on."""
    assert state([shot(0.5)], SIX + timedelta(hours=3, minutes=59)).state is ControlState.IN_CONTROL
    late = state([shot(0.5)], SIX + timedelta(hours=4))
    assert late.state is ControlState.OVERDUE
    assert late.due_at == SIX + timedelta(hours=4)
    assert "4.0 h old" in late.what_to_do


def test_every_run_starts_with_a_shot() -> None:
    """A shot from before the run was opened does not do, however fresh it is."""
    opened = SIX + timedelta(minutes=10)
    now = SIX + timedelta(minutes=20)

    assert control_of(COUPON, [shot(0.0)], now, opened).state is ControlState.OVERDUE
    assert control_of(COUPON, [shot(0.0, opened)], now, opened).state is ControlState.IN_CONTROL


def test_out_of_control_outweighs_overdue_and_ends_with_a_good_shot() -> None:
    """A far shot says stop and clean, also when it is old; the next good one lets the sorter go on."""
    out = state(series(0.2, 3.4), SIX + timedelta(days=1))
    good = state(series(0.2, 3.4, 0.1))

    assert out.state is ControlState.OUT_OF_CONTROL
    assert out.good_at == SIX
    assert "Clean the window" in out.what_to_do
    assert [(e.symbol, e.rules) for e in out.broken] == [("Cr", (Rule.BEYOND_THREE,))]
    assert good.state is ControlState.IN_CONTROL


def test_what_to_do_grows_with_the_trouble() -> None:
    """A steady offset asks for an adjustment, a second far shot for service, an absurd one for a look."""
    assert "adjustment" in state(series(*[0.8] * 8)).what_to_do
    assert "call service" not in state(series(*[0.8] * 8)).what_to_do
    assert "call service" in state(series(*[0.8] * 9)).what_to_do
    assert "call service" in state(series(0.0, 3.4, 3.2)).what_to_do
    assert "2 shots running" in state(series(0.0, 3.4, 3.2)).what_to_do
    assert "another piece" in state(series(0.0, -15.0)).what_to_do


def test_shots_against_another_known_value_are_left_out() -> None:
    """Where a coupon's known value was mended in yard.toml, its series begins anew."""
    old = [shot(0.9, SIX + timedelta(minutes=i), known_cr=17.9) for i in range(7)]

    control = state([*old, shot(0.9, SIX + timedelta(minutes=8))])

    assert [len(element.z) for element in control.elements] == [1, 8]
    assert control.state is ControlState.IN_CONTROL


def test_an_element_that_was_not_reported_raises_no_alarm() -> None:
    """A far chromium shot, then one of nickel alone: the last shot broke no rule."""
    first = shot(3.5)
    second = replace(shot(0.0, SIX + timedelta(minutes=1)), elements=shot(0.0, z_ni=0.1).elements[1:])

    assert state([first, second]).state is ControlState.IN_CONTROL


def test_other_coupons_and_techniques_do_not_count() -> None:
    """Shots on other samples or by other techniques leave a sample as it was."""
    other = [replace(shot(5.0), sample="brass disc"), replace(shot(5.0), technique="libs")]

    assert state(other).last_at is None


def test_the_worst_state_is_shown() -> None:
    """Of several states the worst is shown."""
    assert worst_state([]) is None
    assert worst_state([state([shot(0.0)]), state([])]) is ControlState.OVERDUE
    assert worst_state([state([]), state([shot(4.0)]), state([shot(0.0)])]) is ControlState.OUT_OF_CONTROL


def test_in_control_and_overdue_widen_nothing() -> None:
    """Only an analyser out of control makes readings count less."""
    assert widening([state([shot(1.9)]), state([])]) == {}
    assert widened_profiles([state([shot(1.9)])]) is profiles()


def test_out_of_control_widens_by_the_bias() -> None:
    """√(1 + 4²) for the element 4 σ off, √(1 + 4²/2) for the others, nothing for other techniques."""
    factors = widening([state([shot(4.0)])])

    assert set(factors) == {"xrf"}
    assert factors["xrf"]["Cr"] == pytest.approx(math.sqrt(17))
    assert factors["xrf"]["Ni"] == factors["xrf"]["Pb"] == pytest.approx(3.0)
    assert max(widening([state([shot(400.0)])])["xrf"].values()) == WIDEST
    wider = widened_profiles([state([shot(4.0)])])
    assert wider["xrf"].sigma("Pb", 1.0) == pytest.approx(3.0 * profiles()["xrf"].sigma("Pb", 1.0))
    assert wider["lab"] is profiles()["lab"]


def test_doubts_are_said_in_words() -> None:
    """What goes to screen and ledger names technique, factor, coupon, element, direction and rule."""
    assert doubts([state([shot(1.0)])]) == ()
    assert doubts([state([shot(-4.0)])]) == (
        "xrf readings count less (σ up to ×4.1): on 316 coupon "
        "Cr reads 0.80 wt % low (-4.0 σ): one beyond 3σ",
    )


def test_readings_count_less_while_out_of_control(library: GradeLibrary) -> None:
    """A clear 316 is less sure by an analyser that just read chromium 4 σ off."""
    facts = PieceFacts(
        shots=(Shot(reading=Reading(values={"Cr": 16.9, "Ni": 10.3, "Mo": 2.1, "Mn": 1.5, "Fe": 68.6})),)
    )

    trusted = identify(facts, library)
    doubted = identify(facts, library, technique_profiles=widened_profiles([state([shot(4.0)])]))

    assert trusted.best is not None and doubted.best is not None
    assert doubted.best.probability < trusted.best.probability
