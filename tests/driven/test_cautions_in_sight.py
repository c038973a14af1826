"""At 80x24 a caution hides neither the bays nor the reasons, and no STOP is a mere title."""

from pathlib import Path

import pytest

from tests.driven.driving import Driver, console


def body(driver: Driver) -> str:
    """Return the screen with its breaks taken out."""
    return " ".join(driver.picture().replace("│", " ").split())


@pytest.mark.parametrize("line", ["1.4 becu spring", "1.4 becu gas bottle", "1.2 cr65 ni25 fe1 gas bottle"])
async def test_the_bay_and_two_reasons_stay_in_sight_beside_the_warnings(yard: Path, line: str) -> None:
    """Skin and STOP together too: the list of candidates is what gives way."""
    async with console(yard) as driver:
        await driver.type(line)
        rows = driver.picture().split("\n")

        assert any("▶HLD" in row for row in rows)
        first = next(number for number, row in enumerate(rows) if "─ why " in row)
        assert all(row.startswith("│ ") and row[2:30].strip() for row in rows[first + 1 : first + 3])
        assert sum("%" in row for row in rows[first - 2 : first]) == 2

        await driver.press("ctrl+u")
        await driver.type("12.4 304")
        assert driver.app.sorting.panes.candidates.size.height == 5


async def test_two_stops_are_both_told_with_what_not_to_do(yard: Path) -> None:
    """Each with its title and its first words; the rest has a key."""
    async with console(yard) as driver:
        await driver.type("1.4 becu gas bottle")

        said = body(driver)
        assert "STOP Closed container: Treat it as full. Do not cut, drill, shear" in said
        assert "STOP Beryllium: Do not grind, sand, file, torch or blast." in said
        assert "in full: Ctrl O" in said


async def test_who_is_told_to_grind_is_told_how(yard: Path) -> None:
    """The caution on grinding stands while a skin is to be ground off, and not beside bare metal; what to do
    about the skin is whole above it."""
    async with console(yard) as driver:
        await driver.type("4 libs ni25 cr65 cu6 zn2 // cu64 zn18 ni16 // cu70 zn26 ni2")
        shown = driver.picture()
        assert "Grinding a spot" in shown
        assert "(the coating is up to 0.07 mm)" in " ".join(shown.split())
        await driver.press("escape")
        await driver.type("4 libs cu70 zn30")
        assert "Grinding a spot" not in driver.picture()


async def test_rows_that_no_warning_stands_in_are_given_back_when_the_keys_rest(yard: Path) -> None:
    """Nothing jumps while a word is typed; then candidates and reasons have the whole pane again."""
    async with console(yard) as driver:
        panes, showing = driver.app.sorting.panes, driver.app.sorting.showing
        await driver.type("1.4 becu")
        taken = panes.warnings.rows
        assert taken > 0 and not panes.warnings.has_spare_rows
        await driver.press("backspace", "backspace")
        assert panes.warnings.rows == taken and panes.warnings.has_spare_rows

        assert showing._giving_back is not None, "a timer waits for the keys to rest"
        showing.give_rows_back()
        await driver.at_rest()
        assert panes.warnings.rows == 0 and panes.candidates.size.height == 5
        await driver.type("cu spring")
        assert showing._giving_back is None and "STOP" in driver.picture()
        showing.give_rows_back()
        assert panes.warnings.rows == taken, "what is said stays"
