"""Tags and labels on the entry line, typed and scanned, and what resolves a piece on hold."""

from pathlib import Path

import pytest

from console.ledger.views.piece_state import waiting_pieces
from console.panes.run.review_list import ReviewList
from console.screens.frames.ask_screen import AskScreen
from tests.console.desk.dropping import HEADER
from tests.driven.driving import SIZES, Driver, console

READ = "cr18.2 ni8.1 fe71.5 mn1.5 si0.4"


def take_in(driver: Driver, folder: Path, text: str) -> None:
    """Let readings wait that a file of the yard's folder holds."""
    (folder / "readings" / "a.csv").write_text(text, encoding="utf-8")
    watch = driver.desk.readings.watch_folder()
    assert watch is not None
    for _ in range(3):
        driver.desk.readings.add(watch.look().pieces)


@pytest.fixture(autouse=True)
def quick_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take a file for written at once, and let nobody else look meanwhile."""
    monkeypatch.setattr("console.screens.sorting.readings.LOOK_AGAIN_S", 600)
    monkeypatch.setattr("console.readings.files.STILL_S", 0.0)


@pytest.mark.parametrize(
    ("size", "typed"),
    [(SIZES[0], "T1-H2"), (SIZES[1], "t1h2"), (SIZES[2], "]Q1T1H2"), (SIZES[0], "]C0T1-H2")],
)
async def test_a_tag_on_the_line_opens_its_hold(yard: Path, size: tuple[int, int], typed: str) -> None:
    """However it is spelled: the finding is asked for, the piece goes to its bay, the line is free."""
    async with console(yard, size=size) as driver:
        await driver.enter("3 ?")
        await driver.enter("12.4 ? ; shaft")
        await driver.type(typed)
        assert "a tag: Enter opens what has it" in driver.picture()
        assert "weight still missing" not in driver.picture() and "nothing known yet" not in driver.picture()
        await driver.press("enter")
        assert "T1-H2, typed as" in driver.picture()
        await driver.enter(READ)
        await driver.press("enter")

        assert driver.bays() == {"HLD": (1, 3_000), "STN": (1, 12_400)}
        assert (driver.line, "off hold -> STN" in driver.picture()) == ("", True)


async def test_a_tab_behind_a_tag_enters_it(yard: Path) -> None:
    """Also where the yard says nothing of its scanner: there is nothing to finish in a tag."""
    async with console(yard) as driver:
        await driver.enter("12.4 ?")
        await driver.type("t1h1")
        await driver.press("tab")

        assert isinstance(driver.app.screen, AskScreen)


async def test_a_tag_that_waits_no_more_says_where_its_piece_lies(yard: Path) -> None:
    """Resolved, void, or never given: a sentence, and the line stays."""
    async with console(yard) as driver:
        await driver.enter("12.4 ?")
        [piece] = waiting_pieces(driver.desk.ledger)
        driver.desk.review.move(piece.row_id, "FER", "magnet")
        await driver.enter("t1h1")
        assert "T1-H1 waits no more: 12.40 kg of no name in FER" in driver.picture()
        driver.desk.review.void(piece.row_id, "not ours")
        await driver.press("enter")
        assert "the piece is void" in driver.picture()
        await driver.press("escape")
        await driver.enter("t1h9")

        said = " ".join(driver.picture().split())
        assert ("no piece on hold and no bale" in said, driver.line) == (True, "t1h9")


async def test_a_tag_of_a_bale_opens_its_sheet(yard: Path) -> None:
    """The sheet says what was printed with it; Esc leads back to an empty line."""
    async with console(yard) as driver:
        await driver.enter("120 304")
        made = driver.desk.bays.draw_down("STN", "60", "north buyer").made
        await driver.enter("]Q1T1STN0001")
        assert "BALE T1-STN-0001" in driver.picture() and "taken by" in driver.picture()
        assert driver.desk.tags.bale_sheet("T1-STN-0001") == made.text

        await driver.press("escape")
        assert driver.line == ""


async def test_a_label_of_a_bay_is_that_bay(yard: Path) -> None:
    """Scanned behind a piece without a blank it names its bay; scanned first it waits for the piece."""
    async with console(yard) as driver:
        await driver.enter("12.4 304]Q1FER")
        assert driver.bays() == {"FER": (1, 12_400)}

        await driver.enter("]C0CUB")
        assert (driver.line, "CUB now stands on the line" in driver.picture()) == ("CUB ", True)
        await driver.enter("3")
        assert driver.bays() == {"FER": (1, 12_400), "CUB": (1, 3_000)}


async def test_words_that_only_look_like_tags_stay_words(yard: Path) -> None:
    """H13 is a tool steel and the weight is asked for; a line with a weight stands for a piece."""
    async with console(yard) as driver:
        await driver.enter("h13")
        assert "weight" in driver.picture() and "no piece on hold" not in driver.picture()


@pytest.mark.parametrize("size", SIZES[::2])
async def test_waiting_readings_are_offered_where_a_hold_is_resolved(
    yard: Path, size: tuple[int, int]
) -> None:
    """Of the piece with the tag first; what is used waits no more, and undo lets it wait again."""
    async with console(yard, size=size) as driver:
        await driver.enter("12.4 ?")
        take_in(driver, yard, HEADER + "A1,17.1,10.9,\nT1H1,18.2,8.1,\n")
        await driver.enter("t1h1")
        assert "2 readings wait, next of T1H1: Ins puts it here" in driver.picture()
        await driver.press("insert", "insert", "insert", "enter")
        assert "What settled it?" in driver.picture()
        await driver.press("enter")

        waiting = driver.desk.readings.waiting
        assert (driver.bays(), [one[0].piece for one in waiting()]) == ({"STN": (1, 12_400)}, ["A1"])
        await driver.press("f4")
        assert [one[0].piece for one in waiting()] == ["T1H1", "A1"]
        await driver.press("f5")
        assert [one[0].piece for one in waiting()] == ["A1"]
        driver.desk.review.void(driver.desk.review.pieces()[0].row_id, "not ours")
        assert [one[0].piece for one in waiting()] == ["T1H1", "A1"]


async def test_a_reading_changed_by_hand_is_not_replaced_by_the_next(yard: Path) -> None:
    """What was typed is not lost, and the sentence says why; the changed reading is taken all the same."""
    async with console(yard) as driver:
        await driver.enter("12.4 ?")
        take_in(driver, yard, HEADER + "A1,18.2,8.1,\nA2,17.1,10.9,\n")
        await driver.enter("t1h1")
        await driver.press("insert", "backspace")
        await driver.type("2")
        await driver.press("insert")
        assert "changed by hand" in " ".join(driver.picture().split())
        await driver.press("enter", "enter")

        assert driver.desk.review.pieces()[0].corrections[-1].row.body["line"].endswith("cr=18.2 ni=8.2")
        assert [one[0].piece for one in driver.desk.readings.waiting()] == ["A2"]


async def test_in_holds_first_the_mark_goes_on_to_the_next_hold(yard: Path) -> None:
    """Resolve after resolve without an arrow key; after the last one below, the one above."""
    async with console(yard) as driver:
        for line in ("1 ?", "2 ?", "3 304", "4 ?"):
            await driver.enter(line)
        await driver.press("f6", "h", "down")
        seen = []
        for _ in range(3):
            row = driver.app.screen.query_one(ReviewList).selected_row
            assert row is not None
            seen.append(row.piece.line)
            await driver.press("r")
            await driver.enter(READ)
            await driver.press("enter")

        assert seen == ["2 ?", "1 ?", "4 ?"]
        assert "0 on hold" in driver.picture()


async def test_a_corrected_hold_keeps_the_tag_that_stands_on_it(yard: Path) -> None:
    """The label on the metal stays true: through a correction, its undo, and a move off hold and back."""
    async with console(yard) as driver:
        await driver.enter("2 ? ; shaft")
        await driver.press("ctrl+p")
        await driver.enter(" m0")
        assert "T1-H1 stays on it" in " ".join(driver.picture().split())
        assert [hold.tag for hold in driver.desk.sums().holds] == ["T1-H1"]
        await driver.enter("t1h1")
        assert "T1-H1, typed as" in driver.picture()
        await driver.press("escape", "escape", "f4")
        assert [(one.line, one.tag, one.is_held) for one in driver.desk.sums().holds] == [
            ("2 ? ; shaft", "T1-H1", True)
        ]
        await driver.enter("t1h1")
        assert "T1-H1, typed as" in driver.picture(), "of two rows with a tag the one that stands counts"
        await driver.press("escape", "escape")
        await driver.enter("3 ?")
        assert [hold.tag for hold in driver.desk.sums().holds] == ["T1-H1", "T1-H2"]

        for code in ("FER", "HLD"):
            await driver.press("f6", "end", "m")
            await driver.enter(code)
            await driver.press("enter")
            said = " ".join(driver.picture().split())
            await driver.press("f6")
        assert "moved to HLD, T1-H1 stays on it" in said
        assert [hold.tag for hold in driver.desk.sums().holds] == ["T1-H1", "T1-H2"]
        await driver.enter("4 304")
        await driver.press("f6", "m")
        await driver.enter("HLD")
        await driver.press("enter")
        assert "moved to HLD, write T1-H3 on it" in " ".join(driver.picture().split())
        await driver.press("f6")
        await driver.enter("5 ?")
        await driver.press("ctrl+p", "end", "backspace")
        await driver.enter("304")
        assert "settled, take T1-H4 off it" in " ".join(driver.picture().split())
