"""Taking over: what was left is shown until it is seen, and nothing of the old run goes on in the new one."""

from datetime import timedelta
from pathlib import Path

import pytest

from console.desk import Desk
from console.desk.ticket_line import read_ticket_line
from console.ground.mass import format_mass
from console.ledger.acts.closeout import difference
from console.panes.said_pane import SaidPane
from console.screens.further.left_screen import LeftScreen
from tests.driven.driving import NOON, SIZES, Driver, console


def shift_before(yard: Path) -> None:
    """Work a shift that leaves a hold, a note, a lot that was begun, and a difference with its words."""
    before = NOON - timedelta(hours=30)
    desk = Desk.open(yard, now=lambda: before, person="Ilse")
    desk.tally(desk.consider("12.4 ? ; shaft"))
    desk.tally(desk.consider("86 304"))
    desk.checks.shoot("316 coupon", "cr16.8 ni10.2 mo2.1")
    desk.note("magnet crane squeaks")
    lot = desk.lots.begin("6061", 24).made
    desk.lots.record(lot, is_right=True)
    desk.consignments.begin("RX1")
    desk.closing.close_run("no scale today")
    desk.close()


def is_shown(driver: Driver) -> bool:
    return isinstance(driver.app.screen, LeftScreen)


@pytest.mark.parametrize("size", SIZES)
async def test_what_the_shift_before_left_is_shown_until_it_is_seen(
    yard: Path, size: tuple[int, int]
) -> None:
    """Who closed and how, holds with place, note, lot, sample with its age; "seen" ends it for good."""
    shift_before(yard)
    async with console(yard, size=size, person="Jory") as driver:
        assert is_shown(driver)
        text = driver.desk.left.text(78)
        for said in (
            "T1-0001 was closed",
            "signed by Ilse",
            "No ticket was entered",
            "no scale today",
            "T1-H1",
            "in HLD",
            "magnet crane squeaks",
            "T1-0001-L01, said to be 6061: 1 of 1 right",
            "consignment T1-C1 for",
            "the last shot is 30.0 h old",
        ):
            assert said in " ".join(text.split()), said
        assert "What was left for Jory" in driver.picture() and "T1-H1" in driver.picture()
        await driver.press("escape")
        assert "not seen yet" in driver.picture()
        await driver.press("ctrl+f")
        await driver.enter("left by")
        await driver.enter("seen")
        assert not is_shown(driver) and "Jory has seen what was left" in driver.picture()
    async with console(yard, size=size) as driver:
        assert not is_shown(driver)


async def test_a_line_typed_over_the_page_is_not_lost(yard: Path) -> None:
    """Whoever types on as the page comes up has tallied the piece, whole; the page comes back."""
    shift_before(yard)
    async with console(yard) as driver:
        driver.app.sorting.line.put("12.4 3")
        await driver.enter("04")
        await driver.enter("3 brass")
        assert (driver.bays(), is_shown(driver)) == ({"STN": (1, 12_400), "YBR": (1, 3_000)}, False)
    async with console(yard) as driver:
        assert is_shown(driver)


async def test_seen_can_be_said_on_the_line_later(yard: Path) -> None:
    """Who left the page with Esc types seen where pieces are typed; nothing is tallied of it."""
    shift_before(yard)
    async with console(yard) as driver:
        await driver.press("escape")
        await driver.enter("seen")
        assert "has seen what was left" in driver.picture() and driver.line == ""
        assert driver.bays() == {}
    async with console(yard) as driver:
        assert not is_shown(driver)


async def test_who_takes_a_run_over_is_shown_its_holds_and_notes(yard: Path) -> None:
    """By the key, also when the first person takes it back; not for a person who works on alone."""
    async with console(yard) as driver:
        assert not is_shown(driver)
        await driver.enter("12.4 ? ; shaft")
        driver.desk.note("crane squeaks")
        for person in ("Jory", "Ilse"):
            await driver.press("ctrl+t")
            await driver.enter(person)
            await driver.at_rest()
            assert is_shown(driver) and "crane squeaks" in driver.picture()
            assert "T1-H1" in driver.picture() and "goes on, worked by" in driver.picture()
            await driver.enter("seen")
            assert not is_shown(driver)


async def test_a_run_taken_over_unseen_tells_of_the_run_before_too(yard: Path) -> None:
    """Nobody saw what was left: it goes on to who takes over, each thing once; seen, no more."""
    shift_before(yard)
    async with console(yard, person="Jory") as driver:
        await driver.press("escape")
        driver.desk.note("gate 3 sticks")
        await driver.press("ctrl+t")
        await driver.enter("Marit")
        text = " ".join(driver.desk.left.text(78).split())
        for said in ("T1-0002 goes on", "gate 3 sticks", "T1-0001 was closed", "magnet crane squeaks"):
            assert text.count(said) == 1, said
        for once in ("T1-H1 ", "consignment T1-C1", "the last shot is", "T1-0001-L01"):
            assert text.count(once) == 1, once
        await driver.enter("seen")
        await driver.press("ctrl+t")
        await driver.enter("Jory")
        text = driver.desk.left.text(78)
        assert "gate 3 sticks" in text and "magnet crane squeaks" not in text


@pytest.mark.parametrize("size", SIZES)
async def test_nothing_of_a_closed_run_shows_in_the_next(yard: Path, size: tuple[int, int]) -> None:
    """No change of a bay, no sum, no last piece, no last sentence, no line to call back."""
    async with console(yard, size=size) as driver:
        await driver.enter("86 304")
        await driver.press("f8", "f8")
        await driver.enter("no scale today")
        await driver.enter("Ilse")
        await driver.press("escape", "enter")
        await driver.opened()
        await driver.threads_done()
        await driver.opened()
        assert is_shown(driver)
        await driver.enter("seen")

        picture = driver.picture()
        assert "86.00" not in picture and "86 304" not in picture
        assert driver.app.sorting.panes.bays.change_g == 0
        assert "Ilse has seen" in str(driver.app.sorting.query_one(SaidPane).said.text)
        await driver.press("up")
        assert driver.line == ""


def test_the_tolerance_that_is_left_is_that_of_the_handover(yard: Path) -> None:
    """Each scale by its own division, a box weighed twice: what is read is what was signed."""
    desk = Desk.open(yard, now=lambda: NOON - timedelta(hours=9), person="Ilse")
    desk.tally(desk.consider("640-28 p x20 fer"))
    desk.tally(desk.consider("64-28 fer"))
    desk.closing.add_ticket(read_ticket_line("1000 360"))
    signed = desk.closing.difference()
    said = format_mass(round(signed.tolerance_g), "kg")
    assert signed.tolerance_g > difference(desk.sums(), desk.yard).tolerance_g + 10
    desk.closing.close_run("the truck was wet", signed_by="Ilse")
    desk.close()

    after = Desk.open(yard, now=lambda: NOON, person="Jory")
    assert f"tolerance of {said}" in " ".join(after.left.text(100).split())
    after.close()
