"""What is shown where work cannot begin: no yard, a damaged store, one in doubt, a terminal too small."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from console.desk import Desk
from console.screens.frames.pick_screen import PickScreen
from tests.driven.driving import NOON, SIZES, Driver, console
from tests.driven.states import SHIFT

PAGE = 4096


def worked(yard: Path) -> Path:
    """Leave a store with a few pieces; return it."""
    desk = Desk.open(yard, now=lambda: NOON - timedelta(hours=3), person="Ilse")
    for line in SHIFT:
        desk.tally(desk.consider(line))
    desk.close()
    return yard / "yard.sqlite3"


def damage(yard: Path) -> None:
    """Write over two pages."""
    store = worked(yard)
    held = bytearray(store.read_bytes())
    held[PAGE : 3 * PAGE] = b"\x07" * (2 * PAGE)
    store.write_bytes(bytes(held))


def lose(yard: Path) -> None:
    """Take the store away."""
    worked(yard).unlink()


def unguard(yard: Path) -> None:
    """Drop every trigger, so that more is wrong than is told."""
    with closing(sqlite3.connect(worked(yard))) as store:
        for (name,) in store.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            store.execute(f"DROP TRIGGER {name}")
        store.commit()


async def asked(driver: Driver) -> str:
    """Return what the list in the way says, in one line, once it is there."""
    for _ in range(400):
        if isinstance(driver.app.screen, PickScreen):
            break
        await driver.pilot.pause(0.02)
    await driver.threads_done()
    box = driver.app.screen.query_one("#pick-box").region
    rows = driver.picture().split("\n")[box.y : box.bottom]
    return " ".join(" ".join(row[box.x + 1 : box.right - 1] for row in rows).split())


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    ("harm", "title", "said"),
    [
        (damage, "The store is damaged", "(Page 2: btreeInitPage() returns error code 11)"),
        (lose, "The ledger is not as it was left", "It is missing or empty"),
        (unguard, "The ledger is not as it was left", "And 1 more: 1 lists them."),
    ],
)
async def test_what_is_wrong_with_a_store_is_read_whole(
    yard: Path, size: tuple[int, int], harm: Callable[[Path], None], title: str, said: str
) -> None:
    """What was found, in one piece; every way out whole, none cut and none twice."""
    harm(yard)
    async with console(yard, size=size, waits=False, can_fail=True) as driver:
        shown = await asked(driver)

        assert title in shown and said in shown
        for way in (
            "(verify)",
            "(salvage)",
            "(restore); no copy lies beside it",
            "Leave; nothing is changed",
        ):
            assert shown.count(way) == 1, way
        goes_on = "Work on with it as it is; the ledger keeps that I said so"
        assert (goes_on in shown) is (harm is not damage)
        assert "…" not in shown and "***" not in shown


async def test_bad_news_wears_what_the_yard_wants(yard: Path) -> None:
    """Plain letters and colours of yard.toml hold though its store cannot be opened."""
    file = yard / "yard.toml"
    damage(yard)
    wanted = '\n[console]\ntheme = "day"\nascii = true\n'
    file.write_text(f"{file.read_text(encoding='utf-8')}{wanted}", encoding="utf-8")
    async with console(yard, waits=False, can_fail=True) as driver:
        assert "The store is damaged" in await asked(driver)
        assert driver.app.theme == "day" and driver.app.outfit.safe.is_plain
        for row in driver.app.screen._compositor.render_strips():
            assert "".join(segment.text for segment in row).isascii()


async def test_a_backup_that_is_not_there_is_said(yard: Path) -> None:
    """The list of copies says that there is none and what else to do, not that something typed is wrong."""
    damage(yard)
    async with console(yard, waits=False, can_fail=True) as driver:
        await asked(driver)
        await driver.enter("3")

        shown = await asked(driver)
        assert "Which backup?" in shown and "none. Leave, then: baywright restore FILE --overwrite" in shown
        await driver.press("enter")
    assert driver.app.wanted == ()


async def test_one_copy_is_counted_as_one(yard: Path) -> None:
    """And offered by its name."""
    damage(yard)
    shutil.copy(yard / "yard.toml", yard / "of-friday.sqlite3")
    async with console(yard, waits=False, can_fail=True) as driver:
        assert "1 copy lies beside it" in await asked(driver)
        await driver.enter("3")
        assert "of-friday.sqlite3" in await asked(driver)


async def test_without_a_yard_each_way_is_read_whole(tmp_path: Path) -> None:
    """At 80 columns nothing of the three is cut but the folder, in front."""
    folder = tmp_path / ("long" * 12)
    folder.mkdir()
    async with console(folder, waits=False) as driver:
        shown = await asked(driver)

        assert "No yard here yet" in shown and "by ten questions" in shown
        assert shown.count("…") == 1 and "New yard in …" in shown


@pytest.mark.parametrize("size", [(79, 24), (80, 23), (38, 10), (20, 6)])
async def test_a_terminal_too_small_says_how_large_it_is_to_be(yard: Path, size: tuple[int, int]) -> None:
    """The sentence is whole however small, nothing else is drawn, and the line is as it was afterwards."""
    async with console(yard) as driver:
        await driver.type("12.4 304")
        await driver.pilot.resize_terminal(*size)
        await driver.at_rest()

        wanted = (
            f"Too small: {size[0]} x {size[1]}. Make the terminal 80 x 24 or larger. What you typed is kept."
        )
        assert " ".join(driver.picture().split()) == wanted
        await driver.pilot.resize_terminal(80, 24)
        await driver.at_rest()
        assert driver.line == "12.4 304" and "STN" in driver.picture()
