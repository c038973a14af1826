"""What the room of the explanations serves for while nothing is typed."""

import re
from pathlib import Path

import pytest

from console.desk.ticket_line import read_ticket_line
from tests.driven.driving import SIZES, Driver, console

HELD = "2.6 ? ; grey, dense"


def left(driver: Driver) -> list[str]:
    """Return the rows of the left half, without frames."""
    half = driver.app.screen.query_one("#can-be").region.right
    return [row[:half].strip("│╭╮╰╯ ") for row in driver.picture().split("\n")]


def below(rows: list[str], title: str) -> list[str]:
    """Return the rows under a title; empty where there is none."""
    at = next((number for number, row in enumerate(rows) if row.startswith(f"─ {title} ")), None)
    return [] if at is None else rows[at + 1 :]


async def begin(driver: Driver) -> None:
    """Tally three pieces, one of them onto hold."""
    for line in ("12.4 304", HELD, "25 c11000 bus"):
        await driver.enter(line)
    await driver.threads_done()


@pytest.mark.parametrize("size", SIZES[:2])
async def test_the_last_pieces_stand_where_nothing_is_explained(yard: Path, size: tuple[int, int]) -> None:
    """Newest first with weight, bay and name; the first letter gives the room back to the reasons."""
    async with console(yard, size=size) as driver:
        assert below(left(driver), "last pieces")[0] == "No piece is tallied yet in this run."
        await begin(driver)
        first, second, third = below(left(driver), "last pieces")[:3]

        assert "25.00 CUB" in first and "C11000" in first
        assert "2.60 HLD" in second and "tag T1-H1" in second
        assert "12.40 STN" in third
        await driver.type("3 304")
        assert below(left(driver), "last pieces") == [] and below(left(driver), "why 304")

        await driver.press("escape", "f4")
        assert "VOID" in below(left(driver), "last pieces")[0]


async def test_what_is_on_hold_stands_beside_the_last_pieces(yard: Path) -> None:
    """At 110 columns with its tag, its weight and what was noted."""
    async with console(yard, size=(110, 30)) as driver:
        assert below(left(driver), "on hold")[0] == "Nothing is on hold."
        await begin(driver)

        assert below(left(driver), "on hold")[0].split()[:2] == ["T1-H1", "2.60"]
        assert "grey, dense" in below(left(driver), "on hold")[0]


async def test_a_large_screen_tells_of_holds_notes_and_limits(yard: Path) -> None:
    """The last pieces have a pane of their own there; what there is nothing of comes last."""
    async with console(yard, size=(160, 45)) as driver:
        await begin(driver)
        assert below(left(driver), "last pieces") == []
        assert "T1-H1" in below(left(driver), "on hold")[0]
        assert "chemistry of CUB" in driver.picture(), "the bay that the last piece went to"
        limits = driver.picture().split("bays nearest to a limit")[1]
        assert "STN  Cr >=16" in limits.split("on hold")[0]

        await driver.press("f7")
        await driver.enter("the shear is sharpened tomorrow")
        assert below(left(driver), "notes")[0].startswith("- the shear is sharpened tomorrow")
        await driver.press("f4", "f4", "f4")
        await driver.threads_done()
        assert "chemistry of HLD" in driver.picture(), "the bay that was changed last"


async def test_nothing_of_a_closed_run_stays_in_sight(yard: Path) -> None:
    """The next run begins with no piece."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        assert "12.40 STN" in below(left(driver), "last pieces")[0]
        await driver.press("f8", "f8")
        await driver.enter("no scale today")
        await driver.enter("Ilse")
        await driver.press("escape")
        assert "12.40" not in driver.picture(), "nor behind the question who works the next one"
        await driver.press("enter")
        await driver.opened()
        await driver.enter("seen")

        assert below(left(driver), "last pieces")[0] == "No piece is tallied yet in this run."


@pytest.mark.parametrize("size", SIZES)
async def test_the_close_out_shows_what_is_still_open(yard: Path, size: tuple[int, int]) -> None:
    """Pieces on hold and notes stand below tickets and sums, and give way to them."""
    async with console(yard, size=size) as driver:
        await driver.press("f8")
        assert "on hold" not in driver.picture()
        await driver.press("escape")
        await begin(driver)
        await driver.press("f7")
        await driver.enter("the shear is dull")
        await driver.press("f8")
        assert "bale" not in driver.picture(), "what lies there of other runs is not in the run's own sums"
        sums, held = driver.picture().split("│ on hold")
        assert "tally" in sums and "T1-H1" in held and "- the shear is dull" in held.split("│ notes")[1]

        for number in range(40):
            driver.desk.closing.add_ticket(read_ticket_line(f"{100 + number} 90"))
        await driver.press("escape", "f8")
        assert "│ on hold" not in driver.picture() and "tolerance" in driver.picture()


async def test_twins_that_have_no_room_are_counted_in_whole_words(yard: Path) -> None:
    """What is said of a grade of a hundred twins is not cut behind their number at 80 columns."""
    async with console(yard) as driver:
        await driver.type("9 gas bottle m2")
        row = next(row for row in driver.picture().split("\n") if "= looks like" in row)

        assert re.search(r"= looks like (\d+ others|.* and \d+ more) +│", row), row
