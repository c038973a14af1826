"""The review, key by key: sorting, filtering, mending, and a run of many pages."""

from pathlib import Path

import pytest
from textual.widgets import Input

from console.desk import run_pages
from console.ledger.views.tally import tally
from console.panes.run.review_list import ReviewList
from tests.driven.driving import Driver, console

SIZES = [(80, 24), (120, 35)]


def listed_lines(driver: Driver) -> list[str]:
    """Return the lines as typed of what is listed, in order."""
    return [row.piece.line for row in driver.app.screen.query_one(ReviewList).rows]


@pytest.mark.parametrize("size", SIZES)
async def test_a_weight_is_mended_and_the_totals_follow(yard: Path, size: tuple[int, int]) -> None:
    """w, the weight, a reason: a new row, and the sum in the border is the new one."""
    async with console(yard, size=size) as driver:
        await driver.enter("12.4 304")
        await driver.enter("3.1 yellow brass")
        await driver.press("f6", "down", "w")
        await driver.enter("13.4")
        await driver.press("enter")

        assert [piece.mass_g for piece in driver.desk.review.pieces()] == [3100, 13400]
        picture = driver.picture()
        assert "2 entries, 16.50 kg" in picture and "mended" in picture
        assert "weight 12.400 -> 13.400 kg: in the review" in picture


async def test_a_weight_that_is_none_is_refused_in_words(yard: Path) -> None:
    """Nothing is written; the sentence says what a weight looks like."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f6", "w")
        await driver.enter("heavy")
        await driver.press("enter")

        assert driver.desk.review.pieces()[0].mass_g == 12400
        assert "NOT DONE" in driver.picture() and "is not a weight" in driver.picture()


@pytest.mark.parametrize("size", SIZES)
async def test_a_hold_is_resolved_by_a_new_reading(yard: Path, size: tuple[int, int]) -> None:
    """r, the reading, a reason: named, off hold, in its bay; F4 puts it back with its tag."""
    async with console(yard, size=size) as driver:
        await driver.enter("12.4 ? ; unknown")
        await driver.press("f6", "r")
        await driver.enter("cr18.2 ni8.1 fe71.5 mn1.5 si0.4")
        assert "What settled it?" in driver.picture()
        await driver.press("enter")

        [piece] = driver.desk.review.pieces()
        assert not piece.is_held and piece.bay == "STN"
        assert "off hold" in driver.picture() and "0 on hold" in driver.picture()

        await driver.press("f4")
        [piece] = driver.desk.review.pieces()
        assert piece.is_held and piece.tag == "T1-H1"


async def test_findings_that_settle_nothing_ask_for_a_bay(yard: Path) -> None:
    """Still undecided: the bays are offered without the hold bay; the choice and a reason settle it."""
    async with console(yard) as driver:
        await driver.enter("12.4 ?")
        await driver.press("f6", "r")
        await driver.enter("m0")
        assert "Still undecided" in driver.picture()
        await driver.enter("FER")
        await driver.press("enter")

        [piece] = driver.desk.review.pieces()
        assert piece.bay == "FER" and not piece.is_held


async def test_a_piece_that_is_not_on_hold_is_not_resolved(yard: Path) -> None:
    """The sentence says where it lies and which key is meant instead."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f6", "r")

        said = " ".join(driver.picture().split())
        assert "NOT DONE m moves it" in said and "not on hold but in STN" in said


async def test_sorting_keeps_the_mark_on_its_piece(yard: Path) -> None:
    """s goes through the columns, t turns; the selected piece stays selected."""
    async with console(yard) as driver:
        for line in ("2 304", "9 brass", "5 copper"):
            await driver.enter(line)
        await driver.press("f6", "down")
        assert driver.app.screen.query_one(ReviewList).selected_row.piece.line == "9 brass"

        for word in ("bay", "grade", "state", "doubt", "person", "weight"):
            await driver.press("s")
            assert f"by {word}" in driver.picture()
        assert listed_lines(driver) == ["9 brass", "5 copper", "2 304"]
        assert driver.app.screen.query_one(ReviewList).selected_row.piece.line == "9 brass"

        await driver.press("t")
        assert listed_lines(driver) == ["2 304", "5 copper", "9 brass"]


async def test_typing_narrows_and_escape_shows_all_again(yard: Path) -> None:
    """Letters go into the filter, not to the keys v or m; Enter keeps it while mending, Esc ends it."""
    async with console(yard) as driver:
        for line in ("2 304 ; for vm", "9 brass", "5 copper"):
            await driver.enter(line)
        await driver.press("f6", "slash")
        await driver.type("vm")
        assert listed_lines(driver) == ["2 304 ; for vm"] and "1 shown of 3 entries" in driver.picture()
        assert "2.00 of 16.00 kg" in driver.picture(), "what is shown has a sum of its own"

        await driver.press("enter", "v", "enter")
        assert [piece.is_void for piece in driver.desk.review.pieces()] == [False, False, True]

        await driver.press("escape")
        assert len(listed_lines(driver)) == 3
        await driver.press("slash")
        await driver.type("nothing like it")
        assert "No piece has all of these words" in driver.picture()


async def test_a_filter_typed_in_one_go_goes_into_the_filter(yard: Path) -> None:
    """No letter behind the / is lost or taken for a key of the list."""
    async with console(yard) as driver:
        for line in ("2 304 ; avc", "9 brass"):
            await driver.enter(line)
        await driver.press("f6")
        await driver.type("/avc")
        assert listed_lines(driver) == ["2 304 ; avc"]
        assert driver.app.screen.query_one("#filter", Input).value == "avc"

        await driver.press("enter", "s")
        assert "Review by bay" in driver.picture() and listed_lines(driver) == ["2 304 ; avc"]


async def test_holds_of_earlier_runs_are_shown_on_request_and_can_be_resolved(yard: Path) -> None:
    """h: what still waits from the run before stands with the run's own holds; r settles it."""
    async with console(yard) as driver:
        await driver.enter("7 ? ; shaft")
        driver.desk.closing.close_run("no scale today")
    async with console(yard) as driver:
        await driver.enter("2 304")
        await driver.enter("4 ?")
        await driver.press("f6")
        assert listed_lines(driver) == ["4 ?", "2 304"]

        await driver.press("h")
        assert listed_lines(driver) == ["4 ?", "7 ? ; shaft", "2 304"]
        assert "2 entries, 6.00 kg, 1 on hold" in driver.picture()

        await driver.press("down", "r")
        await driver.enter("cr18.2 ni8.1 fe71.5 mn1.5 si0.4")
        await driver.press("enter")
        assert "off hold" in driver.picture()


async def test_a_piece_of_the_run_before_is_mended_late(yard: Path) -> None:
    """b: the run before is listed too; what is mended on it counts there and says that it came late."""
    async with console(yard) as driver:
        await driver.press("f6", "b")
        assert "no run before" in driver.picture()
        await driver.press("escape")
        await driver.enter("7 304")
        driver.desk.closing.close_run("no scale today")
    async with console(yard) as driver:
        await driver.enter("2 yellow brass")
        await driver.press("f6", "b")
        assert listed_lines(driver) == ["2 yellow brass", "7 304"]
        assert "1 entry, 2.00 kg" in driver.picture() and "With run T1-0001" in driver.picture()

        await driver.press("down", "w")
        await driver.enter("7.2")
        await driver.press("enter")
        assert "mended late" in driver.picture() and "after close-out" in driver.picture()
        assert tally(driver.desk.ledger, "T1-0001").mass_g == 7200
        await driver.press("f4")
        assert tally(driver.desk.ledger, "T1-0001").mass_g == 7000
        await driver.press("b")
        assert listed_lines(driver) == ["2 yellow brass"]


async def test_e_shows_what_was_known_when_the_piece_was_placed(yard: Path) -> None:
    """Reading, suggestion, candidates and reasons stand there as the ledger kept them; e leads back."""
    async with console(yard) as driver:
        await driver.enter("8.05 cr18.2 ni8.1 fe71.4 m0")
        await driver.press("f6", "e")
        picture = driver.picture()
        assert "Why it was placed there" in picture and "TALLIED 8.05 kg -> STN" in picture
        assert "xrf: Fe 71.4, Cr 18.2, Ni 8.1" in picture and "advised" in picture
        await driver.press("e")
        assert "Review by time" in driver.picture()


async def test_twins_stand_beside_the_grade(yard: Path) -> None:
    """A piece that the facts cannot tell from another grade is listed with both, and found by either."""
    async with console(yard) as driver:
        await driver.enter("8.05 cr18.2 ni8.1 fe71.4 m0")
        await driver.enter("2 yellow brass")
        [twin] = driver.desk.review.pieces()[1].twins[:1]
        await driver.press("f6", "slash")
        await driver.type(twin)
        assert listed_lines(driver) == ["8.05 cr18.2 ni8.1 fe71.4 m0"]
        assert f"or {twin}" in driver.picture()


async def test_a_run_of_many_pages_is_read_behind_the_first(
    yard: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The newest page is there at once, the rest follows; sums and sorting cover the whole run."""
    monkeypatch.setattr(run_pages, "PAGE", 10)
    async with console(yard) as driver:
        for number in range(1, 61):
            driver.app.sorting.entering.enter(f"{number} 304")
        await driver.press("f6")
        await driver.app.workers.wait_for_complete()
        await driver.pilot.pause()

        assert len(listed_lines(driver)) == 60
        assert "60 entries, 1830.00 kg" in driver.picture()
        await driver.press("end")
        assert "1 304" in driver.picture()


@pytest.mark.parametrize("size", SIZES)
async def test_nothing_is_cut_off_in_the_key_line(yard: Path, size: tuple[int, int]) -> None:
    """Help and quit are there, also at 80 columns."""
    async with console(yard, size=size) as driver:
        await driver.press("f6")

        keys = driver.picture().splitlines()[-1]
        assert all(word in keys for word in ("filter", "quit", "help"))


async def test_an_older_piece_is_typed_anew_in_its_place(yard: Path) -> None:
    """c in the review brings its line back; Enter voids it and tallies the new one for the same load."""
    async with console(yard) as driver:
        await driver.enter("from Old Mill load 7")
        for line in ("12.4 304", "3 316", "2 304"):
            await driver.enter(line)
        await driver.enter("from")
        await driver.type("9 half")
        await driver.press("f6", "down", "down", "c")
        assert driver.line == "12.4 304"
        assert "Correcting 12.40 kg 304 in STN" in driver.picture()
        await driver.press("end")
        await driver.enter(" @fer")

        pieces = driver.desk.review.pieces()
        assert [(one.line, one.is_void) for one in pieces] == [
            ("12.4 304 @fer", False),
            ("2 304", False),
            ("3 316", False),
            ("12.4 304", True),
        ]
        assert (pieces[0].supplier, pieces[0].load) == ("Old Mill", "7")
        await driver.press("up", "up")
        assert driver.line == "9 half"
        await driver.press("escape", "f4")
        assert [one.is_void for one in driver.desk.review.pieces() if one.bay == "STN"] == [False] * 2


async def test_what_cannot_be_typed_anew_says_what_can_be_done(yard: Path) -> None:
    """A void piece, one of the run before, and the review of the close-out."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f8", "f6", "c")
        assert "Leave the close-out, then F6" in driver.picture()
        await driver.press("f6", "escape", "f6", "v", "enter", "c")

        assert "This piece is void already" in driver.picture()
        assert driver.line == ""
