"""The best sale on the screen: planned beside the keys, made consignments of by one of them."""

import sys
from pathlib import Path

import pytest

from tests.driven.driving import Driver, console


async def planned(driver: Driver) -> None:
    """Two bales of clean extrusions and some more, then the screen with its plan."""
    for _ in range(2):
        await driver.enter("280kg 6063 cu0.02 zn0.02 mg0.5 si0.4 al99 axc")
        driver.desk.bays.draw_down("AXC", "all", "to sell")
    await driver.enter("90kg 6063 cu0.02 zn0.02 mg0.5 si0.4 al99 axc")
    await driver.enter("12 ti ttn")
    await driver.press("ctrl+f")
    await driver.enter("best sale")
    await driver.threads_done()


async def test_a_plan_becomes_drafts_by_a_key(yard: Path) -> None:
    """What goes to which order is shown; a key begins its consignments, one undo takes all of them back."""
    async with console(yard, size=(80, 24)) as driver:
        await planned(driver)
        assert "Best sale, each limit kept at 95%" in driver.picture()
        assert "TO RX1: 650.00 kg at 1.86 EUR/kg" in driver.picture()
        assert all(len(row) == 80 for row in driver.picture().splitlines())

        await driver.press("d")
        assert "1 draft: T1-C1 RX1 650.00 kg" in driver.picture()
        [draft] = driver.desk.consignments.all()
        assert sorted(part.name for part in draft.parts) == ["AXC", "T1-AXC-0001", "T1-AXC-0002"]
        assert draft.parts_g == 650_000
        await driver.threads_done()
        assert "TO RX1" not in driver.picture() and "TO buyer of TTN" in driver.picture()

        await driver.press("f4")
        assert "taken back: the drafts T1-C1" in driver.picture()
        assert driver.desk.consignments.all() == []
        await driver.press("f5")
        assert "once more: the drafts T1-C1" in driver.picture()
        assert driver.desk.consignments.all()[0].parts_g == 650_000


async def test_keys_answer_while_it_searches(yard: Path) -> None:
    """Another confidence begins a search in place of the one that runs; Esc leaves, nothing comes later."""
    async with console(yard, size=(80, 24)) as driver:
        await planned(driver)
        for confidence in ("99%", "80%"):
            await driver.press("c")
            assert f"kept at {confidence}" in driver.picture()
            assert "Looking for the best sale, 2 s at most" in driver.picture()
        await driver.press("m")
        assert "Looking for the best sale, 10 s at most" in driver.picture()
        await driver.press("d")
        assert "There is no plan yet" in driver.picture() and driver.desk.consignments.all() == []
        await driver.press("escape")
        assert "Best sale" not in driver.picture()
        await driver.threads_done()
        assert "Best sale" not in driver.picture() and driver.app.failure == ""


@pytest.mark.parametrize(("size", "shows_money"), [((110, 30), True), ((160, 45), False)])
async def test_money_is_shown_where_the_yard_shows_it(
    yard: Path, size: tuple[int, int], shows_money: bool
) -> None:
    """A yard that hides money sees weights, limits and reasons, and no amount or price; at every size."""
    file = yard / "yard.toml"
    hidden = f"show_money = {str(shows_money).lower()}"
    file.write_text(file.read_text("utf-8").replace("show_money = true", hidden), encoding="utf-8")
    async with console(yard, size=size) as driver:
        await planned(driver)

        assert "TO RX1: 650.00 kg" in driver.picture() and "Cu<=0.15" in driver.picture()
        assert ("EUR" in driver.picture(), "/kg" in driver.picture()) == (shows_money, shows_money)
        assert all(len(row) == size[0] for row in driver.picture().splitlines())


async def test_without_the_extra_the_screen_names_it(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A yard that did not install scipy is told what to install, and is back with one key."""
    for name in [one for one in sys.modules if one == "scipy" or one.startswith("scipy.")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "scipy", None)
    async with console(yard, size=(80, 24)) as driver:
        await driver.press("ctrl+f")
        await driver.enter("best sale")

        assert "pip install 'baywright[plan]'" in " ".join(driver.picture().split())
        await driver.press("escape")
        assert "Best sale" not in driver.picture()
