"""Why a piece was placed where it was, and what was corrected after close-out, over the real path."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.ledger.rows.queries import LedgerReader
from console.ledger.views.piece_state import waiting_pieces
from console.reports.placement_text import explained, placement_text
from tests.console.ledger.clock import brass, open_ledger

Capture = pytest.CaptureFixture[str]
READ = "12.4 304 sheet m0 cr18.2 ni8.1 mn1.5 fe71.3"


def on(folder: Path, *words: str) -> int:
    """Run a command on a yard; return its exit status."""
    return main([*words, "--yard", str(folder)])


@pytest.fixture
def closed(yard_folder: Path, clock: Callable[[], datetime]) -> Path:
    """A closed run of a supplier's load, two pieces of it mended since, and an open run."""
    desk = Desk.open(yard_folder, now=clock, person="Ilse")
    desk.piece.begin_load("Holt", "L1")
    first = desk.tally(desk.consider(READ)).row
    second = desk.tally(desk.consider("3 yellow brass")).row
    desk.tally(desk.consider("2 ? ; shaft"))
    desk.closing.close_run("no scale")
    desk.ledger.open_run("Jory")
    desk.review.reweigh(first.row_id, "12.6", "scale was off")
    desk.review.move(second.row_id, "RBZ", "reads red")
    desk.close()
    return yard_folder


def test_a_late_correction_shows_as_such_in_every_report(closed: Path, capsys: Capture) -> None:
    """Handover, tally, sums over dates, office report and purchase sheet, as text, page, CSV and JSON."""
    reports = (
        ("handover", "--run", "T1-0001"),
        ("handover", "--run", "T1-0001", "--html"),
        ("tally", "--by", "bay"),
        ("office", "--form", "html"),
        ("office", "--form", "csv"),
        ("office", "--form", "json"),
        ("office", "--purchase", "--supplier", "Holt", "--form", "text"),
        ("office", "--purchase", "--supplier", "Holt", "--form", "html"),
    )
    for words in reports:
        assert on(closed, *words) == 0
        said = " ".join(capsys.readouterr().out.split()).casefold()
        assert "after close-out" in said, words
        assert words[0] == "tally" or "scale was off" in said, words
    assert on(closed, "tally", "--by", "bay", "--json") == 0
    assert json.loads(capsys.readouterr().out)["late_corrections"] == 2
    assert on(closed, "tally", "--json") == 0
    assert json.loads(capsys.readouterr().out)["late_corrections"] == 0


def test_the_tally_of_a_closed_run_says_so_too(closed: Path, capsys: Capture, tmp_path: Path) -> None:
    """Where no run is open, the tally is that of the last one, with what was corrected since."""
    with open_ledger(tmp_path / "yard.sqlite3") as ledger:
        ledger.open_run("Ada")
        row = ledger.add_piece(brass(), "Ada")
        ledger.close_run("Ada")
        ledger.void(row.row_id, "never there", "Ada")
    (tmp_path / "yard.toml").write_bytes((closed / "yard.toml").read_bytes())

    assert on(tmp_path, "tally") == 0

    assert "1 corrected after close-out" in capsys.readouterr().out


def test_an_unknown_run_is_refused_with_those_there_are(closed: Path, capsys: Capture) -> None:
    """The handover of a run that is not there names the newest ones."""
    assert on(closed, "handover", "--run", "T9-0001") == 2

    assert "T1-0001, T1-0002" in capsys.readouterr().err


def test_why_tells_what_was_known_of_a_held_piece_and_what_settled_it(
    closed: Path, clock: Callable[[], datetime], capsys: Capture
) -> None:
    """By its tag: line, suggestion and reasons at first, the reading that settled it, what was done since."""
    desk = Desk.open(closed, now=clock)
    [held] = waiting_pieces(desk.ledger)
    desk.review.resolve(held.row_id, "cr18.2 ni8.1 fe71.5 mn1.5", "shot again")
    desk.close()

    assert on(closed, "why", "t1-h1") == 0

    text = capsys.readouterr().out
    assert 'TALLIED 2.00 kg -> HLD, tag T1-H1, as no name\n  "2 ? ; shaft"' in text
    assert "RESOLVED -> STN, as 304" in text
    assert "read       xrf: Fe 71.5, Cr 18.2, Ni 8.1, Mn 1.5" in text
    assert "advised    STN" in text and "could be" in text and "none listed" in text
    assert "resolved HLD -> STN as 304: shot again" in text
    assert max(map(len, text.splitlines())) <= 80
    assert on(closed, "why", "T1-H99") == 2
    assert 'No piece has the tag or row id "T1-H99"' in capsys.readouterr().err


def test_why_needs_no_library_and_shows_hostile_text_as_text(tmp_path: Path) -> None:
    """Grades that the library has lost since are named as they were; typed text obeys nobody."""
    entry = replace(
        brass(),
        line="1 \x1b[31m[bold]x[/]",
        evidence={
            "candidates": [
                {
                    "grade": "OLD 99",
                    "probability": 0.83,
                    "twins": ["OLD 98"],
                    "reasons": [{"speaks": "against", "text": "Cu 2 σ out \x07"}],
                }
            ],
            "facts": {"claim": {"label": "old brass"}, "magnet": "none", "density_g_cm3": 8.45},
            "placement": {"bay": "YB", "sureness": "leaning", "reason": "83 % accepted"},
            "unlisted": 0.17,
        },
    )
    store = tmp_path / "yard.sqlite3"
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        row = ledger.add_piece(entry, "Ada")
    with LedgerReader.open(store) as reader:
        text = placement_text(explained(reader, row.row_id), "kg")

    assert "83.0%  OLD 99, not told from OLD 98" in text and "- Cu 2 σ out" in text
    assert "said to be old brass" in text and "bench      density g/cm3 8.45, magnet none" in text
    assert "advised    YB, leaning: 83 % accepted" in text
    assert row.row_hash[:16] in text
    assert not [letter for letter in text if letter != "\n" and not letter.isprintable()]


def test_why_and_identify_speak_the_words_of_the_glossary(closed: Path, capsys: Capture) -> None:
    """What the screens call advised and none listed is called so on the terminal too."""
    assert on(closed, "why", "T1-H1") == on(closed, "identify", READ) == 0
    said = capsys.readouterr().out

    assert "advised" in said and "none listed" in said
    assert "suggested" not in said and "unlisted" not in said
