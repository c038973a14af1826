"""The bay's headroom and the analyser's state on the sorting screen."""

from pathlib import Path

import pytest

from console.panes.entry_pane import EntryPane
from tests.driven.driving import Driver, console

SIZES = [(80, 24), (120, 35)]


async def rested(driver: Driver) -> EntryPane:
    """Return the pane once the threads are done."""
    await driver.pilot.pause(0.4)
    await driver.app.workers.wait_for_complete()
    await driver.pilot.pause()
    return driver.app.sorting.query_one(EntryPane)


@pytest.mark.parametrize("size", SIZES)
async def test_a_piece_that_would_spoil_its_bay_is_warned_of(yard: Path, size: tuple[int, int]) -> None:
    """The warning names bay, element and limit before Enter, and goes with the line."""
    async with console(yard, size=size) as driver:
        await driver.enter("100 6063 cu0.02 zn0.02 mg0.5 si0.4 al99 axc")
        await rested(driver)
        await driver.type("60 cu1.5 mg0.6 si0.5 al97 axc")
        pane = await rested(driver)
        assert pane.bay_warning.startswith("AXC: Cu would go")
        assert " BAY " in driver.picture() and "Cu would go" in driver.picture()

        await driver.press("ctrl+u")
        assert " BAY " not in driver.picture()


@pytest.mark.parametrize("size", SIZES)
async def test_the_header_warns_while_the_analyser_is_not_checked(yard: Path, size: tuple[int, int]) -> None:
    """Overdue stands in the header until a good shot was entered."""
    async with console(yard, size=size) as driver:
        assert "ANALYSER OVERDUE" in driver.picture()
        await driver.press("ctrl+f")
        await driver.enter("4")
        await driver.press("n")
        await driver.enter("cr16.8 ni10.2 mo2.1 mn1.5")
        await driver.press("escape")
        assert "OVERDUE" not in driver.picture().splitlines()[0]


async def test_what_comes_and_goes_with_a_key_moves_no_other_row(yard: Path) -> None:
    """A caution that a further word takes back leaves its rows until the line is done: nothing jumps."""
    async with console(yard) as driver:
        await driver.type("3.1 gas bottle")
        screen = driver.app.sorting
        with_caution = screen.query_one("#can-be").size
        assert "Closed container" in driver.picture()

        await driver.press("ctrl+w")
        assert "Closed container" not in driver.picture()
        assert screen.query_one("#can-be").size == with_caution

        await driver.press("ctrl+u")
        assert screen.query_one("#can-be").size.height > with_caution.height
