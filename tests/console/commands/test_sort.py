"""Sorting line by line: prompt, sentence, the same grammar and acts as the console, without a full screen."""

import subprocess
import sys
from pathlib import Path

from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.runs import latest_run
from console.ledger.views.tally import tally
from tests.driven.pty_session import PtySession

COMMAND = ("-m", "console.cli", "sort", "--plain", "--yard")


def bays_of(yard: Path) -> dict[str, tuple[int, int]]:
    """Return bay -> pieces and grams, from the store."""
    with LedgerReader.open(yard / "yard.sqlite3") as reader:
        run = latest_run(reader)
        assert run is not None
        return {one.bay: (one.pieces, one.mass_g) for one in tally(reader, run.run_id).bays}


def piped(yard: Path, text: str) -> subprocess.CompletedProcess[str]:
    """Sort what comes through a pipe."""
    return subprocess.run(
        [sys.executable, *COMMAND, str(yard)], input=text, capture_output=True, text=True, timeout=60
    )


def test_a_pipe_sorts_undoes_and_is_told_in_one_line_each(yard_folder: Path) -> None:
    """Every line is answered by one line; what was undone is not in the store, what was looked at neither."""
    lines = [
        "12.4 304",
        "3.1 yellow brass",
        "undo",
        "look 9 stn",
        "304",
        "7.5 x",
        "note gate is shut",
        "tally",
    ]

    done = piped(yard_folder, "\n".join(lines) + "\n")

    answers = done.stdout.split("\n")[1:]
    assert answers[0].startswith("piece: 12.40 kg"), done.stdout
    assert "STN" in answers[3] and "Not done: the weight is missing" in answers[4], done.stdout
    assert answers[7].startswith("piece: STN 1 piece 12.40 kg"), done.stdout
    assert len(answers) == len(lines) + 3, done.stdout  # after the last prompt a line and the end
    assert (bays_of(yard_folder), done.returncode) == ({"STN": (1, 12_400)}, 1)


def test_a_stop_is_read_out_whole_before_the_piece_is_tallied(yard_folder: Path) -> None:
    """The first time says STOP and tallies nothing, the same line once more tallies; another line is none."""
    first = piped(yard_folder, "2 gas bottle\n")
    assert "STOP. Closed container: " in first.stdout
    assert bays_of(yard_folder) == {}

    piped(yard_folder, "2 gas bottle\n2 gas bottle\nquit\n")
    assert bays_of(yard_folder) == {"HLD": (1, 2_000)}


def test_a_terminal_gets_the_prompt_the_sentence_and_no_drawing(yard_folder: Path) -> None:
    """On a pseudo-terminal the prompt waits, a piece is answered, and no escape sequence is ever sent."""
    session = PtySession([*COMMAND, str(yard_folder)])
    try:
        session.wait_for("piece: ")
        session.send("12.4 304\n")
        session.wait_for("STN")
        session.send("7.5\n")
        session.wait_for("7.50 kg")
        session.send("quit\n")
        session.wait_for("the run stays open")
        assert session.end() == 0
    finally:
        session.close()

    assert b"\x1b" not in session.painted
    assert bays_of(yard_folder) == {"STN": (2, 19_900)}
