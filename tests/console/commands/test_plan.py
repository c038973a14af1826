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
    """The tag of a bale; beside it lie clean extrusions, copper-rich low-copper metal, and steel."""
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
    assert parts[("ALO", "ALO")] == pytest.approx(60.0)
    assert 5.0 < parts[("AXC", "ALO")] < 60.0
    assert parts[("AXC", "AXC")] == pytest.approx(100.0 - parts[("AXC", "ALO")])
    [copper] = [one for one in said["limits"] if (one["outlet"], one["limit"]) == ("ALO", "Cu<=0.3")]
    assert copper["wt_pct"] < 0.3
    assert copper["kept"] >= 0.599
    [price] = [one for one in said["shadow_prices"] if one["outlet"] == "ALO"]
    assert price["limit"] == "Cu<=0.3"
    assert said["promise_kept"]
    assert said["bound"] >= said["money"]


def test_a_bale_goes_whole_to_who_takes_it(bale: str, yard_folder: Path, capsys: Capture) -> None:
    """A bale is named by its tag, sold whole, and never to a buyer who refuses such metal."""
    said = plan(yard_folder, capsys, "--bale", bale.lower(), "--only-bales")

    assert [(one["source"], one["outlet"], one["kg"]) for one in said["parts"]] == [(bale, "FER", 90.0)]


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
    assert "It is proved that no other brings more" in " ".join(told.split())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--bale", "T9-XXX-0001"), 'No bale has the tag "T9-XXX-0001"'),
        (("--confidence", "1.5"), "confidence 1.5: needs to be 0.5 to below 1"),
        (("--only-bales",), "There is nothing to sell"),
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
