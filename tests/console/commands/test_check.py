"""`baywright check` as a command, over the real path: real folder, real store."""

import json
from pathlib import Path

import pytest

from console.cli import main
from console.desk.checking import controls_of
from console.ledger.rows.queries import LedgerReader
from console.ledger.views.check_shots import check_shots

Capture = pytest.CaptureFixture[str]
GOOD = "cr16.9 ni10.3 mo2.1 mn1.5 fe68"
HIGH = "cr17.8 ni10.3 mo2.1 mn1.5 fe67"


@pytest.fixture
def yard(yard_folder: Path) -> Path:
    """The demo yard, which has one check sample for x-ray: the 316 coupon."""
    return yard_folder


def check(yard: Path, *words: str) -> int:
    return main(["check", *words, "--yard", str(yard)])


def test_overdue_before_the_first_shot(yard: Path, capsys: Capture) -> None:
    """Asking needs no store and makes none; a check that is due gives status 1."""
    assert check(yard) == 1

    assert "316 coupon: overdue" in capsys.readouterr().out
    assert not (yard / "yard.sqlite3").exists()


def test_a_good_shot(yard: Path, capsys: Capture) -> None:
    """Bias and z of every element, and in control."""
    assert check(yard, "316 coupon", GOOD) == 0

    out = capsys.readouterr().out
    assert "316 coupon: in control" in out
    assert "Cr       16.80  16.90   +0.100" in out
    assert check(yard) == 0


def test_a_shot_that_is_off(yard: Path, capsys: Capture) -> None:
    """Chromium 1 % high: out of control, what to do, what is in doubt, how much less readings count."""
    check(yard, "316", GOOD)
    capsys.readouterr()

    assert check(yard, "316", *HIGH.split()) == 1

    out = capsys.readouterr().out
    assert "316 coupon: out of control" in out
    assert "beyond 3σ" in out
    assert "Clean the window" in out
    assert "the last good shot, is in doubt" in out
    assert check(yard, "--json") == 1
    said = json.loads(capsys.readouterr().out)
    by_symbol = {element["symbol"]: element for element in said["elements"]}
    assert said["state"] == "out of control"
    assert by_symbol["Cr"]["z"] == pytest.approx(1.0 / by_symbol["Cr"]["sigma_wt_pct"], abs=0.01)
    assert by_symbol["Cr"]["sigma_factor"] > by_symbol["Ni"]["sigma_factor"] > 1


def test_the_row_says_what_was_said(yard: Path) -> None:
    """The ledger keeps readings, known values, σ and state, and gives the same state back."""
    check(yard, "316", GOOD)
    check(yard, "316", HIGH)

    from console.desk import load_yard_and_library
    from console.ledger.rows.queries import rows_where

    described, _ = load_yard_and_library(yard)
    with LedgerReader.open(yard / "yard.sqlite3") as reader:
        rows = rows_where(reader, "kind = 'check'")
        shots = check_shots(reader)
        (control,) = controls_of(reader, described, rows[-1].at_utc)

    assert [row.body["state"] for row in rows] == ["in control", "out of control"]
    assert rows[1].body["broken"][0]["symbol"] == "Cr"
    assert rows[1].body["line"] == HIGH
    assert shots[1].elements == tuple(element.last for element in control.elements)
    assert control.state.value == "out of control"


def test_two_shots_on_one_line_are_two_rows(yard: Path) -> None:
    """Two shots on a check sample in one line are two rows of the ledger."""
    check(yard, "316", f"{GOOD} / {GOOD}")

    with LedgerReader.open(yard / "yard.sqlite3") as reader:
        assert len(check_shots(reader)) == 2


@pytest.mark.parametrize(
    ("sample", "line", "said"),
    [
        ("brass", "cu60", 'No check sample "brass". There are: 316 coupon.'),
        ("316", "12.4 cr17", '"12.4" was taken for a weight'),
        ("316", "cr17 libs", "is a check sample for xrf, the line says libs"),
        ("316", "cu60", "Nothing read that 316 coupon is known for (Cr, Ni, Mo, Mn)"),
        ("316", "; nothing", "No reading on the line"),
        ("316", "xr17", "A check shot holds readings only"),
    ],
)
def test_what_is_no_check_shot_is_refused(
    yard: Path, capsys: Capture, sample: str, line: str, said: str
) -> None:
    """Status 2, words, and no row."""
    assert check(yard, sample, line) == 2

    assert said in capsys.readouterr().err
    with LedgerReader.open(yard / "yard.sqlite3") as reader:
        assert check_shots(reader) == []


def test_a_yard_without_check_samples_is_told_how_to_have_one(yard: Path, capsys: Capture) -> None:
    """Without a check sample the command shows the table to write."""
    text = (yard / "yard.toml").read_text(encoding="utf-8")
    before, _, after = text.partition("[[check_sample]]")
    after = after[after.index("\n\n") :]
    (yard / "yard.toml").write_text(before + after, encoding="utf-8")

    assert check(yard) == 0
    assert "[[check_sample]]" in capsys.readouterr().out


def test_a_store_in_use_is_told(yard: Path, capsys: Capture) -> None:
    """While a console writes, a shot is refused; asking for the state works beside it."""
    from console.commands.yard_folder import utc_now
    from console.desk import Desk

    desk = Desk.open(yard, now=utc_now)
    try:
        assert check(yard, "316", GOOD) == 2
        assert "Another console writes" in capsys.readouterr().err
        assert check(yard) == 1
    finally:
        desk.close()
