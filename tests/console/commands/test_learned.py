"""`baywright learned`: whose frequencies count, and switching them off."""

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from grade_library.matcher.prior import Prior

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def taught_yard(yard_folder: Path, clock: Callable[[], datetime]) -> Path:
    """A yard whose one closed run met 50 pieces of naval brass that stand, and one held piece named later."""
    desk = Desk.open(yard_folder, now=clock)
    for _ in range(50):
        desk.tally(desk.consider("1.0 c46400 cu60.3 zn38.9 sn0.8"))
    desk.tally(desk.consider("1.0 304 stn"))
    desk.undo()
    desk.redo()
    desk.tally(desk.consider("2 #c26000"))
    desk.undo()
    desk.tally(desk.consider("2.6 m0 ?"))
    desk.review.resolve(desk.review.pieces()[0].row_id, "cr18.2 ni8.1 mn1.5 fe71.3", "shot after filing")
    desk.closing.close_run("no ticket: the scale is being repaired")
    desk.close()
    return yard_folder


def switch_off(folder: Path) -> None:
    file = folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    assert text.count("learn_from_runs = true") == 1
    file.write_text(text.replace("learn_from_runs = true", "learn_from_runs = false"), encoding="utf-8")


def test_a_yard_without_a_store_has_the_usual_frequencies(yard_folder: Path, capsys: Capture) -> None:
    """Before the first run the usual frequencies are shown, and no store is made."""
    assert main(["learned", "--yard", str(yard_folder)]) == 0

    out = capsys.readouterr().out
    assert out.startswith("Frequencies usual in yards: no closed run has named a piece yet.")
    assert not (yard_folder / "yard.sqlite3").exists()


def test_what_was_learned_stands_beside_the_usual_share(taught_yard: Path, capsys: Capture) -> None:
    """Voided pieces teach nothing; pieces done again and pieces named later do."""
    assert main(["learned", "--yard", str(taught_yard)]) == 0
    text = capsys.readouterr().out
    assert main(["learned", "--yard", str(taught_yard), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)

    assert text.startswith("Frequencies met in this yard: 52 entries of closed runs")
    assert max(len(line) for line in text.splitlines()) <= 80
    assert len(text.splitlines()) <= 24
    assert (told["learning"], told["frequencies"], told["counted"]) == (True, "met in this yard", 52)
    brass, stainless = told["families"][:2]
    assert (brass["name"], brass["counted"]) == ("tin brass", 50)
    assert brass["now"] > 5 * brass["usual"]
    assert (stainless["name"], stainless["counted"]) == ("austenitic stainless", 2)
    assert [(g["name"], g["counted"]) for g in told["grades"][:2]] == [("C46400", 50), ("304", 2)]
    assert sum(grade["now"] for grade in told["grades"]) == pytest.approx(1.0, abs=1e-3)


def test_learning_is_switched_off_by_the_yard(
    taught_yard: Path, clock: Callable[[], datetime], capsys: Capture
) -> None:
    """With learn_from_runs = false the usual frequencies count at the desk, and the command says so."""
    taught = Desk.open(taught_yard, now=clock)
    assert taught.known.prior is not None and taught.known.prior.counted == 52
    learned = taught.consider("1.0 m0 ky").verdict.share_by_id["C46400"]
    taught.close()
    switch_off(taught_yard)

    desk = Desk.open(taught_yard, now=clock)
    assert desk.known.prior is Prior.usual(desk.library)
    assert desk.consider("1.0 m0 ky").verdict.share_by_id["C46400"] < learned / 2
    desk.close()

    assert main(["learned", "--yard", str(taught_yard)]) == 0
    out = capsys.readouterr().out
    assert "switched off (learn_from_runs = false in yard.toml)" in out
    assert "52 entries of closed runs would teach" in out
    assert main(["learned", "--yard", str(taught_yard), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["learning"] is False


def test_neither_true_nor_false_is_refused(yard_folder: Path, capsys: Capture) -> None:
    """A setting that is neither true nor false is named with what stands there."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("learn_from_runs = true", 'learn_from_runs = "no"'), encoding="utf-8")

    assert main(["learned", "--yard", str(yard_folder)]) == 2
    assert "learn_from_runs: 'no' is neither true nor false" in capsys.readouterr().err
