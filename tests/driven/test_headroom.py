"""The bay's headroom and the analyser's state on the sorting screen."""

from pathlib import Path

import pytest

from console.panes.piece.entry_pane import EntryPane
from tests.driven.driving import Driver, console

SIZES = [(80, 24), (120, 35)]


async def rested(driver: Driver) -> EntryPane:
    """Return the pane once the threads are done."""
    await driver.threads_done()
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
        assert f" BAY  {pane.bay_warning} " in driver.picture(), "whole, with the limit at its end"

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
    """A caution lies over the last rows, and keeps them until the line is done: nothing jumps."""
    async with console(yard) as driver:
        await driver.type("3.1 gas bottl")
        before = driver.picture().splitlines()
        await driver.type("e")
        with_caution = driver.picture().splitlines()
        assert "Closed container" in "".join(with_caution)
        assert with_caution[9:14] == before[9:14]

        await driver.press("ctrl+w")
        assert "Closed container" not in driver.picture()
        assert "╰───" not in "".join(driver.picture().splitlines()[17:])

        await driver.press("ctrl+u")
        assert driver.picture().splitlines()[21].startswith("╰───")


async def test_what_the_lower_border_says_is_not_lost_beneath_a_caution(yard: Path) -> None:
    """Pieces on hold and a bay over its limit stand in a row while a caution lies over the border."""
    async with console(yard) as driver:
        await driver.enter("4.4 ?")
        assert "1 on hold ─" in driver.picture()

        await driver.type("3.1 gas bottle")
        assert "Closed container" in driver.picture()
        assert "│ 1 on hold " in driver.picture()


@pytest.mark.parametrize("size", [(80, 24), (110, 30), (160, 45)])
async def test_the_bay_tally_tells_the_headroom_of_every_bay(yard: Path, size: tuple[int, int]) -> None:
    """Element and word stand in a column of their own, and in the border where there is no room for one."""
    async with console(yard, size=size) as driver:
        await driver.enter("100 6063 cu0.02 zn0.02 mg0.5 si0.4 al99 axc")
        await rested(driver)
        assert "Cu OVER" not in driver.picture()
        await driver.enter("60 cu1.5 mg0.6 si0.5 al97 axc")
        await driver.press("enter")
        await rested(driver)

        assert ("Cu OVER" if size[0] > 80 else "AXC Cu OVER") in driver.picture()
        assert "+60.00" in driver.picture()
        await driver.press("f4")
        await rested(driver)
        assert "Cu OVER" not in driver.picture()
        assert "-60.00" in driver.picture()


async def test_the_fill_counts_what_earlier_runs_left_in_the_bay(yard: Path) -> None:
    """A quarter of a bale of yesterday and one of today are half a bale."""
    async with console(yard) as driver:
        bay = driver.desk.yard.bay("AXC")
        assert bay.bale_g == 900_000
        await driver.enter("225 6063 axc")
        driver.desk.closing.close_run("no ticket today")
    async with console(yard) as driver:
        await driver.enter("225 6063 axc")
        await rested(driver)

        [row] = [line for line in driver.picture().splitlines() if "│+AXC" in line]
        assert "225.00" in row and "50%" in row


async def test_a_bay_that_left_the_yard_file_keeps_its_weight_in_sight(yard: Path) -> None:
    """Its code and what lies there stand below the others."""
    async with console(yard) as driver:
        await driver.enter("12.4 304 stm")
    file = yard / "yard.toml"
    file.write_text(
        file.read_text(encoding="utf-8").replace('code = "STM"', 'code = "SXT"'), encoding="utf-8"
    )
    async with console(yard) as driver:
        assert "not in yard.toml: STM 12.40" in driver.picture()


async def test_a_large_screen_shows_series_and_chemistry(yard: Path) -> None:
    """At 160x45 the shots on the line stand from skin to core, and the bay's metal against its limits."""
    async with console(yard, size=(160, 45)) as driver:
        await driver.enter("2.1 yellow brass fitting m0")
        await driver.type("2.2 cr65 ni25 fe0.2 / ni16 zn18 cu64 // ni2 zn26 cu70")
        await driver.threads_done()
        picture = driver.picture()
        assert "3 ground" in picture and "skin  >99 %" in picture and "not yet at the core" in picture
        assert "chemistry of YBR wt %" in picture and "may be refused" in picture

        await driver.press("ctrl+u")
        assert "No shot is on the line yet" in driver.picture()


async def test_a_small_screen_does_nothing_for_what_it_does_not_show(yard: Path) -> None:
    """At 80x24 neither pane is shown, or handed a shot or a bay."""
    async with console(yard) as driver:
        await driver.type("2.2 304 ni60 cr18 fe22 // cr18.2 ni8.1 fe71.4")
        panes = driver.app.sorting.panes
        assert not panes.series.display and not panes.chemistry.display
        assert not panes.series.shots and not panes.chemistry.bay
