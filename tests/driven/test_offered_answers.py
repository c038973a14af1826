"""An answer that is offered: Enter takes it, the first letter replaces it, and it claims nothing."""

from pathlib import Path

from console.panes.entry_line import EntryLine
from tests.driven.driving import console

CLAIMS = ("new reading", "misread", "in error", "wrong")


async def test_the_first_letter_takes_the_place_of_the_offered_answer(yard: Path) -> None:
    """What is typed or pasted stands alone; an arrow key keeps the offered words to change them."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f6", "v")
        await driver.enter("slipped")
        [piece] = driver.desk.review.pieces()
        assert ": slipped (" in piece.corrections[-1].said("kg")

        await driver.press("f4", "m")
        await driver.enter("fer")
        await driver.press("end")
        await driver.enter(", by the foreman")
        [piece] = driver.desk.review.pieces()
        assert ": in the review, by the foreman (" in piece.corrections[-1].said("kg")


async def test_an_offered_answer_is_no_claim(yard: Path) -> None:
    """Enter alone says where it was done, and nothing of the metal, a reading or anybody's mistake."""
    async with console(yard) as driver:
        await driver.enter("2 ?")
        await driver.press("f6", "r")
        await driver.enter("304 m0")
        await driver.press("enter")
        await driver.press("v", "enter")

        [piece] = driver.desk.review.pieces()
        reasons = [one.said("kg") for one in piece.corrections]
        assert len(reasons) == 2
        assert [one for one in reasons if any(claim in one for claim in CLAIMS)] == []


async def test_the_answer_to_a_word_is_shown_before_enter(yard: Path) -> None:
    """What is asked is said to be asked, not unknown; the number shows what it makes of the piece."""
    async with console(yard) as driver:
        await driver.enter("7.2 window frame painted")
        assert "window frame  which one?" in driver.picture()
        await driver.type("1")
        assert "'1' not understood" not in driver.picture()
        assert "7.20 kg  ·  painted aluminum  ·  note: window frame" in driver.picture()
        await driver.press("enter")

        [piece] = driver.desk.review.pieces()
        assert (piece.bay, piece.line) == ("AMX", "7.2 aluminium painted ; window frame")


async def test_an_empty_answer_says_what_is_wanted(yard: Path) -> None:
    """Enter on an empty line does nothing, and says so; what is only a request is not called done."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f7", "enter")
        assert "type an answer and Enter, or Esc leaves it" in driver.picture()
        await driver.press("escape", "ctrl+p")

        assert "Change the line; Enter puts it" in driver.picture()
        assert "done Change" not in driver.picture()


async def test_what_was_refused_stands_there_when_it_is_asked_again(yard: Path) -> None:
    """Every answer of the act, to be mended by an arrow; once it is done the next one begins afresh."""
    async with console(yard) as driver:
        await driver.enter("12.4 304")
        await driver.press("f6", "w")
        await driver.enter("1x3")
        await driver.enter("read wrongly")
        assert "NOT DONE" in driver.picture()

        await driver.press("w", "end", "backspace", "backspace", "backspace")
        await driver.enter("13")
        await driver.press("enter")
        [piece] = driver.desk.review.pieces()
        assert piece.mass_g == 13_000 and "read wrongly" in piece.corrections[-1].said("kg")

        await driver.press("w")
        assert driver.app.screen.query_one("#answer", EntryLine).value == ""
