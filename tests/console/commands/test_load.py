"""`baywright load` on a yard on disk."""

import errno
import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def folder(yard_folder: Path, clock: Callable[[], datetime]) -> Path:
    """A yard with one bale of clean extrusions and as much again loose."""
    desk = Desk.open(yard_folder, now=clock)
    for _ in range(2):
        desk.tally(desk.consider("300 6063 cu0.02 zn0.02 mg0.5 si0.4 al99"), bay_code="AXC")
    desk.bays.draw_down("AXC", "300", "bale")
    desk.close()
    return yard_folder


def load(folder: Path, capsys: Capture, *words: str) -> str:
    """Run `baywright load`; return what it printed."""
    assert main(["load", *words, "--yard", str(folder)]) == 0
    return capsys.readouterr().out


def test_the_whole_way_by_commands(folder: Path, capsys: Capture) -> None:
    """New, put, show, weigh, seal, send, list: what is said at each step, and the packing list at the end."""
    assert load(folder, capsys) == "No consignment yet.\n"
    assert load(folder, capsys, "new", "rx1").startswith("T1-C1 begun: RX1 extrusion for billets")
    assert load(folder, capsys, "put", "T1-C1", "T1-AXC-0001", "AXC=100") == "2 parts into T1-C1, 400.00 kg\n"
    shown = load(folder, capsys, "show", "t1-c1")
    assert "T1-AXC-0001              300.00 kg  extrusions clean" in shown
    assert "guard band" in shown and max(map(len, shown.splitlines())) <= 80
    load(folder, capsys, "take", "T1-C1", "AXC")
    load(folder, capsys, "weigh", "T1-C1", "8000", "7698")
    draft = load(folder, capsys, "papers", "T1-C1", "--paper", "packing-list")
    assert "DRAFT: not sealed" in draft
    load(folder, capsys, "seal", "T1-C1")
    load(folder, capsys, "send", "T1-C1", "truck", "7")
    assert "T1-C1     sent    RIDGE RX1" in load(folder, capsys)

    told = json.loads(load(folder, capsys, "papers", "T1-C1", "--paper", "packing-list", "--form", "json"))
    assert (told["net_g"], told["parts_g"], told["sealed"]) == (302_000, 300_000, True)
    text = load(folder, capsys, "papers", "T1-C1", "--paper", "packing-list")
    assert "page 1 of 1" in text and f"ledger row {told['ledger_row']}" in text
    assert "302.00 kg, 2.00 kg against its parts" in text and "DRAFT" not in text
    assert "truck 7" in text

    assert load(folder, capsys, "settled").startswith("No consignment has been settled yet")
    assert "T1-C1 settled" in load(folder, capsys, "found", "T1-C1", "cu=0.31", "net=300kg;", "oily")
    assert "T1-C1 settled" in load(folder, capsys, "show", "T1-C1")
    said = json.loads(load(folder, capsys, "settled", "T1-C1", "--json"))
    assert (said["loads"][0]["found_net_g"], said["bias"][0]["bay"]) == (300_000, "AXC")
    assert "Cu  estimate" in load(folder, capsys, "settled")


def test_papers_are_written_whole_and_never_over_others(
    folder: Path, capsys: Capture, tmp_path: Path
) -> None:
    """In every form, with a number where the name is taken; a folder that is not there takes none."""
    load(folder, capsys, "new", "RX1")
    load(folder, capsys, "put", "T1-C1", "T1-AXC-0001")
    out = tmp_path / "out"
    out.mkdir()
    for _ in range(2):
        load(folder, capsys, "papers", "T1-C1", "--paper", "packing-list", "--out", str(out))
    names = sorted(file.name for file in out.iterdir())
    assert names == sorted(
        f"packing-list-T1-C1{number}.{form}" for number in ("", "-2") for form in ("txt", "html", "json")
    )
    html = (out / "packing-list-T1-C1.html").read_text(encoding="utf-8")
    assert "counter(page)" in html and "T1-AXC-0001" in html

    assert main(["load", "papers", "T1-C1", "--out", str(tmp_path / "no"), "--yard", str(folder)]) == 2
    assert "No paper was written" in capsys.readouterr().err


def test_a_full_disk_in_the_middle_of_printing_leaves_nothing(
    folder: Path, capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The fourth file does not fit: a sentence, and the three before are gone again."""
    load(folder, capsys, "new", "RX1")
    load(folder, capsys, "put", "T1-C1", "T1-AXC-0001")
    out = tmp_path / "out"
    out.mkdir()
    written = []

    def fills_up(file: Path, text: str) -> None:
        if len(written) == 3:
            raise OSError(errno.ENOSPC, "No space left on device")
        written.append(file)
        file.write_text(text, encoding="utf-8")

    monkeypatch.setattr("console.desk.sheets.replace_whole", fills_up)
    assert main(["load", "papers", "T1-C1", "--out", str(out), "--yard", str(folder)]) == 2
    assert "(No space left on device). No paper was written" in capsys.readouterr().err
    assert len(written) == 3 and list(out.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("show", "T1-C9"), 'There is no consignment "T1-C9". None is open; begin one'),
        (("show",), "load show: which one?"),
        (("new", "nobody"), 'No order or buyer "nobody" in yard.toml. Orders there: RX1 (RIDGE)'),
        (("put", "T1-C1", "T1-AXC-0001"), 'There is no consignment "T1-C1"'),
    ],
)
def test_what_cannot_be_is_said_in_a_line(
    folder: Path, capsys: Capture, words: tuple[str, ...], said: str
) -> None:
    """Exit status 2 and a sentence."""
    assert main(["load", *words, "--yard", str(folder)]) == 2
    assert said in capsys.readouterr().err


def test_looking_does_not_wait_for_a_console_at_work(
    folder: Path, capsys: Capture, clock: Callable[[], datetime]
) -> None:
    """List and show read beside an open console; an act is refused while that holds the store."""
    desk = Desk.open(folder, now=clock)
    desk.consignments.begin("RX1")
    try:
        assert "T1-C1" in load(folder, capsys, "list")
        assert "Empty." in load(folder, capsys, "show", "T1-C1")
        assert main(["load", "new", "RX2", "--yard", str(folder)]) == 2
        assert "Another console writes to" in capsys.readouterr().err
    finally:
        desk.close()


def test_the_quality_record_tells_what_was_checked_and_what_came_of_it(
    folder: Path, capsys: Capture, clock: Callable[[], datetime]
) -> None:
    """Check shots and those that were out, downgrades, loads, foreign material; other days are empty."""
    desk = Desk.open(folder, now=clock)
    desk.checks.shoot("316", "cr16.8 ni10.2 mo2.1 mn1.5")
    desk.checks.shoot("316", "cr13.0 ni10.2 mo2.1 mn1.5")
    tag = desk.consignments.begin("RX1").made.tag
    desk.consignments.put(tag, ["T1-AXC-0001"])
    desk.consignments.foreign(tag, "1kg 250kg")
    desk.consignments.seal(tag)
    desk.bays.downgrade(desk.bays.sold()[0], "20", "oily")
    desk.close()

    told = load(folder, capsys, "quality", "--from", "2026-03-01", "--to", "2026-03-03")
    words = " ".join(told.split())
    assert "316 coupon 2026-03-02 2 1" in words
    assert "T1-AXC-0001 oily 20.00 kg 17.60" in words
    assert "T1-C1 2026-03-02 RIDGE RX1 300.00 kg 0.40" in words
    assert "UNIFORM LOTS none in this stretch" in words
    said = json.loads(
        load(folder, capsys, "quality", "--from", "2026-03-04", "--to", "2026-03-05", "--form", "json")
    )
    assert (said["check_shots"], said["loads"], said["downgrades"]) == (0, [], [])
