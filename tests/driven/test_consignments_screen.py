"""A consignment built by keys."""

from pathlib import Path

import pytest

from console.ledger.consignments.consignment import State
from tests.driven.driving import console


@pytest.mark.parametrize("size", [(80, 24), (120, 35)])
async def test_a_consignment_is_built_by_keys(yard: Path, size: tuple[int, int]) -> None:
    """Begin, put in, take out and undo, a reason asked where one is needed, seal, send, papers on disk."""
    async with console(yard, size=size) as driver:
        for line in ("300 6063 cu0.02 zn0.02 mg0.5 si0.4 al99 axc", "250 fer"):
            await driver.enter(line)
        driver.desk.bays.draw_down("AXC", "200", "bale")
        await driver.press("ctrl+f")
        await driver.enter("7")
        assert "No consignment yet. n begins one" in driver.picture().replace("\n", " ")

        await driver.press("n")
        await driver.enter("1")
        assert "T1-C1 begun: RX1" in driver.picture() and "Could go in: T1-AXC-0001" in driver.picture()
        await driver.press("p")
        await driver.enter("T1-AXC-0001 AXC=50kg")
        assert "2 parts into T1-C1, 250.00 kg" in driver.picture() and "Cu" in driver.picture()
        await driver.press("t")
        await driver.enter("AXC")
        await driver.press("f4")
        assert "taken back: take of T1-C1" in driver.picture() and "AXC loose" in driver.picture()

        await driver.press("p")
        await driver.enter("FER=10")
        assert "Why does it go all the same?" in driver.picture()
        await driver.press("escape", "w")
        await driver.enter("900 649")
        await driver.press("s")
        assert "T1-C1 sealed: 251.00 kg" in driver.picture()
        await driver.press("t")
        await driver.enter("T1-AXC-0001")
        assert "a sealed consignment never changes" in driver.picture()
        await driver.press("d")
        await driver.enter("truck 7")
        assert driver.desk.consignments.all()[0].state is State.SENT
        await driver.press("b")
        await driver.enter("cu=0.6")
        assert "T1-C1 settled; further off than U: Cu" in driver.picture()
        await driver.press("r")
        assert (yard / "packing-list-T1-C1.html").is_file()
        assert all(len(row) == size[0] for row in driver.picture().splitlines())


async def test_a_scanned_label_opens_its_consignment(yard: Path) -> None:
    """On the entry line, with what a scanner sends before it; an older one, not the newest."""
    async with console(yard, size=(80, 24)) as driver:
        for order in ("RX1", "TS1"):
            driver.desk.consignments.begin(order)
        await driver.enter("]Q1T1C1")

        assert "Consignments: T1-C1" in driver.picture() and "RX1 extrusion" in driver.picture()
        await driver.press("escape")
        assert driver.line == ""
