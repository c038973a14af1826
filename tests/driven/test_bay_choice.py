"""F2: the bays best first, by number keys too, and the hold always in sight."""

from pathlib import Path

from console.screens.frames.pick_screen import PickList
from tests.driven.driving import Driver, console


def rows(driver: Driver) -> list[str]:
    """Return the rows of the list as they stand on the screen."""
    return [line.plain for line in driver.app.screen.query_one(PickList)._lines]


async def test_the_bays_stand_by_acceptance_then_worth_and_refused_ones_last(yard: Path) -> None:
    """As the placement reckons them for the piece; the first is selected, what is refused says why."""
    async with console(yard, size=(110, 45)) as driver:
        await driver.type("7.7 6063 .e +p")
        placement = driver.app.sorting.at_hand().placement
        assert placement is not None
        await driver.press("f2")
        shown = [row[4:].split()[0] for row in rows(driver)]

        worths = {one.bay.code: one for one in placement.ranking}
        keys = [
            (bool(worths[code].veto), -int(100.0 * worths[code].accepted), -worths[code].worth_per_kg)
            for code in shown[:-1]
        ]
        assert keys == sorted(keys)
        assert (shown[-1], len(shown)) == ("HLD", len(driver.desk.yard.bays))
        assert "not taken: " in driver.picture()


async def test_the_hold_is_in_sight_and_0_puts_the_piece_there(yard: Path) -> None:
    """At 80x24, from the first row to the last; whatever the list is scrolled to."""
    async with console(yard) as driver:
        await driver.type("2.2 304")
        await driver.press("f2")
        for _ in range(len(driver.desk.yard.bays)):
            assert "0 HLD" in rows(driver)[-1]
            await driver.press("down")
        assert rows(driver)[-1].startswith("▶ 0 HLD")
        await driver.press("up")
        assert "0 HLD" in rows(driver)[-1]
        await driver.press("0")

        assert driver.bays() == {"HLD": (1, 2_200)}


async def test_a_number_key_tallies_into_that_bay_at_once(yard: Path) -> None:
    """F2 and 2: the second bay of the list; a typed code is no number."""
    async with console(yard) as driver:
        await driver.type("2.2 304")
        await driver.press("f2")
        second = rows(driver)[1].split()[1]
        await driver.press("2")

        assert driver.bays() == {second: (1, 2_200)}


async def test_of_a_piece_of_which_nothing_is_known_no_bay_is_said_to_refuse_it(yard: Path) -> None:
    """The bays stand as in yard.toml, without a share; with a name on the line they have one."""
    async with console(yard) as driver:
        await driver.type("12")
        await driver.press("f2")
        assert "accepted" not in driver.picture()
        codes = [bay.code for bay in driver.desk.yard.bays if not bay.is_hold]
        assert [code in row for code, row in zip(codes, rows(driver)[:5], strict=False)] == [True] * 5
        await driver.press("escape")
        await driver.type(" 304")
        await driver.press("f2")
        assert "% accepted" in driver.picture()


async def test_what_begins_with_the_typed_word_stands_first(yard: Path) -> None:
    """ "check" in the list of acts is the check samples, not the lot whose text holds the word."""
    async with console(yard) as driver:
        await driver.press("f9")
        await driver.type("check")
        shown = [row.lstrip("▶ 0123456789") for row in rows(driver) if row.strip()]

        assert shown[0].startswith("check samples")
        assert any("check" in row and not row.startswith("check") for row in shown[1:])
