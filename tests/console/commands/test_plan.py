"""`baywright plan` on a yard on disk."""

import json
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from console.cli import main
from console.desk import Desk

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def bale(yard_folder: Path, clock: Callable[[], datetime]) -> str:
    """The tag of a bale; beside it lie clean extrusions and copper-rich metal; the yard names no order."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text[: text.index("[[buyer]]")], encoding="utf-8")
    desk = Desk.open(yard_folder, now=clock)
    desk.tally(desk.consider("90 fer"))
    tag = desk.bays.draw_down("FER", "all", "to sell").made.bale.tag
    desk.tally(desk.consider("100 al=98.6 mg=0.5 si=0.5 fe=0.2 cu=0.02 zn=0.02 axc"))
    desk.tally(desk.consider("60 al=97.6 mg=0.9 si=0.7 fe=0.3 cu=0.38 zn=0.02 alo"))
    desk.close()
    return tag


def plan(folder: Path, capsys: Capture, *words: str) -> dict[str, Any]:
    assert main(["plan", "--json", *words, "--yard", str(folder)]) == 0
    return dict(json.loads(capsys.readouterr().out))


def test_clean_metal_makes_room_for_other(bale: str, yard_folder: Path, capsys: Capture) -> None:
    """Low-copper metal over its limit sells with clean extrusions in it, as few as will do."""
    said = plan(yard_folder, capsys, "--confidence", "0.6")

    parts = {(one["source"], one["outlet"]): one["kg"] for one in said["parts"]}
    alo, axc = "buyer of ALO", "buyer of AXC"
    assert parts[("ALO", alo)] == pytest.approx(60.0)
    assert 5.0 < parts[("AXC", alo)] < 60.0
    assert parts[("AXC", axc)] == pytest.approx(100.0 - parts[("AXC", alo)])
    [copper] = [one for one in said["limits"] if (one["outlet"], one["limit"]) == (alo, "Cu<=0.3")]
    assert copper["wt_pct"] < 0.3
    assert copper["kept"] >= 0.599
    [price] = [one for one in said["shadow_prices"] if one["outlet"] == alo]
    assert price["limit"] == "Cu<=0.3"
    assert said["promise_kept"]
    assert said["bound"] >= said["money"]


def test_a_bale_goes_whole_to_who_takes_it(bale: str, yard_folder: Path, capsys: Capture) -> None:
    """A bale is named by its tag, sold whole, and never to a buyer who refuses such metal."""
    said = plan(yard_folder, capsys, "--bale", bale.lower(), "--only-bales")

    assert [(one["source"], one["outlet"], one["kg"]) for one in said["parts"]] == [
        (bale, "buyer of FER", 90.0)
    ]


@pytest.fixture
def orders(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A desk of the demo yard with two bales of clean extrusions and 300 kg more of them."""
    desk = Desk.open(yard_folder, now=clock)
    for _ in range(2):
        desk.tally(desk.consider("280kg 6063 mg=0.5 si=0.4 cu=0.02 zn=0.02 al=99 axc"))
        desk.bays.draw_down("AXC", "all", "to sell")
    desk.tally(desk.consider("290kg 6063 mg=0.5 si=0.4 cu=0.02 zn=0.02 al=99 axc"))
    return desk


ORDER = """
[[buyer]]
code = "SMALL"
name = "Small Foundry"
decision = "shared risk"

[[buyer.order]]
code = "SF1"
name = "a little, well paid"
accepts = ["6xxx"]
limits = { Cu = "<=0.3" }
price_per_kg = 2.50
wanted = "400 kg"
until = 2026-06-30
"""


def test_orders_are_sold_to_until_they_are_full(orders: Desk, yard_folder: Path, capsys: Capture) -> None:
    """The dearest order gets as much as it wants, a bale and a loose rest; the next one the others."""
    orders.close()
    file = yard_folder / "yard.toml"
    file.write_text(file.read_text(encoding="utf-8") + ORDER, encoding="utf-8")
    said = plan(yard_folder, capsys, "--today", "2026-06-30")

    small = {one["source"]: one["kg"] for one in said["parts"] if one["outlet"] == "SF1"}
    assert sum(small.values()) == pytest.approx(400.0)
    assert small["AXC"] == pytest.approx(120.0)
    rest = [one for one in said["parts"] if one["outlet"] == "RX1"]
    assert sum(one["kg"] for one in rest) == pytest.approx(850.0 - 400.0)
    # Less by what may be turned away, which is next to nothing of 6063.
    assert said["money"] == pytest.approx(400 * 2.5 + 450 * 1.86, abs=1.0)
    assert {one["outlet"]: one["price_per_kg"] for one in said["orders"]} == {"SF1": 2.5, "RX1": 1.86}
    claims = {one["outlet"]: one["claims"] for one in said["orders"]}
    assert claims == {"SF1": [], "RX1": ["Cu<=0.15 for 0.04/kg"]}

    late = plan(yard_folder, capsys, "--today", "2026-07-01")
    assert late["passed_over"] == {"SF1": "it was taken until 2026-06-30"}
    assert {one["outlet"] for one in late["parts"]} == {"RX1"}


def test_drafts_are_begun_by_the_command(orders: Desk, yard_folder: Path, capsys: Capture) -> None:
    """--draft begins the consignments of the plan that is printed, and says which."""
    orders.close()

    assert main(["plan", "--draft", "--today", "2026-03-14", "--yard", str(yard_folder)]) == 0
    told = capsys.readouterr()
    assert "TO RX1: 850.00 kg" in told.out
    assert "1 draft: T1-C1 RX1 850.00 kg" in told.err
    assert main(["load", "--yard", str(yard_folder)]) == 0
    assert "T1-C1" in capsys.readouterr().out


def test_what_lies_in_a_consignment_is_sold_already(orders: Desk, yard_folder: Path, capsys: Capture) -> None:
    """Its bale and its loose part are not planned again, and its order wants so much less."""
    file = yard_folder / "yard.toml"
    file.write_text(file.read_text(encoding="utf-8") + ORDER, encoding="utf-8")
    orders.consignments.begin("RX1")
    orders.consignments.put("T1-C1", ["T1-AXC-0001", "AXC=90"])
    orders.close()
    said = plan(yard_folder, capsys, "--today", "2026-03-14")

    sold = {}
    for one in said["parts"]:
        sold[one["source"]] = sold.get(one["source"], 0.0) + one["kg"]
    assert sold == pytest.approx({"T1-AXC-0002": 280.0, "AXC": 200.0})
    assert main(["plan", "--bale", "t1axc0001", "--yard", str(yard_folder)]) == 2
    assert "T1-AXC-0001 lies in T1-C1, which is open; take it out of there first" in capsys.readouterr().err


def test_what_stays_is_told_with_its_reason(bale: str, yard_folder: Path, capsys: Capture) -> None:
    """Without clean metal what is over its limit stays, and every buyer's reason is there."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("price_per_kg = 0.96", "price_per_kg = 0.5"), encoding="utf-8")
    assert main(["plan", "--confidence", "0.99", "--yard", str(yard_folder)]) == 0
    told = capsys.readouterr().out

    assert "BEST SALE: " in told
    assert "each limit kept at 99 %" in told
    assert max(map(len, told.splitlines())) <= 80
    assert "EUR" in told
    assert "It is proved that no other brings more" in " ".join(told.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--bale", "T9-XXX-0001"), 'No bale has the tag "T9-XXX-0001"'),
        (("--confidence", "1.5"), "confidence 1.5: needs to be 0.5 to below 1"),
    ],
)
def test_what_cannot_be_planned_is_said(
    bale: str, yard_folder: Path, capsys: Capture, words: tuple[str, ...], said: str
) -> None:
    """One line, exit status 2."""
    assert main(["plan", *words, "--yard", str(yard_folder)]) == 2
    assert said in capsys.readouterr().err


def test_without_the_extra_it_is_named(
    bale: str, yard_folder: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A yard that did not install scipy is told what to install."""
    for name in [one for one in sys.modules if one == "scipy" or one.startswith("scipy.")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "scipy", None)

    assert main(["plan", "--yard", str(yard_folder)]) == 2
    assert "pip install 'baywright[plan]'" in capsys.readouterr().err
