"""Keys that are saved at the bench."""

from pathlib import Path
from statistics import median

from tests.driven.driving import console
from tests.driven.keystrokes import TWENTY


async def test_escape_clears_the_line_and_once_more_brings_it_back(yard: Path) -> None:
    """Nothing typed is lost by it, also where letters follow at once; a tallied piece forgets the cleared."""
    async with console(yard) as driver:
        await driver.type("12.4 304")
        await driver.press("escape")
        assert (driver.line, "The line is cleared. Esc once more" in driver.picture()) == ("", True)
        await driver.press("escape")
        assert driver.line == "12.4 304"

        await driver.press("escape")
        await driver.enter("3 cub")
        await driver.press("escape")

        assert (driver.line, driver.bays()) == ("", {"CUB": (1, 3_000)})


async def test_escape_leaves_the_tour_and_the_correction_before_it_clears(yard: Path) -> None:
    """What was typed in the tour stays on the line; a correction is left as it always was."""
    async with console(yard) as driver:
        await driver.press("f10")
        await driver.type("12.4 304")
        await driver.press("escape")
        assert (driver.line, driver.app.sorting.tour.is_on) == ("12.4 304", False)

        await driver.press("enter", "ctrl+p", "escape")

        assert (driver.line, "Nothing was changed" in driver.picture()) == ("", True)


async def test_a_reading_may_be_typed_value_first_in_one_word(yard: Path) -> None:
    """18.2cr8.1ni is the reading cr18.2 ni8.1, lies in the same bay, and takes fewer than sixteen keys."""
    line = "8 18.2cr8.1ni"
    async with console(yard) as driver:
        await driver.enter("8 cr18.2 ni8.1")
        await driver.enter(line)

        newest, before = driver.desk.review.pieces()[:2]
        facts = [driver.desk.consider(one.line).parsed.facts for one in (newest, before)]
        assert (newest.bay, facts[0]) == (before.bay, facts[1])
    assert len(line) + 1 <= 16


def test_the_median_piece_takes_few_keys() -> None:
    """Of the twenty common pieces those without a reading take at most nine keys, those with one eighteen."""
    read = [typed.keys for typed in TWENTY if "read" in typed.piece]
    unread = [typed.keys for typed in TWENTY if "read" not in typed.piece]

    assert (median(unread) <= 9, median(read) <= 18) == (True, True)
