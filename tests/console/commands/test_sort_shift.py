"""Line by line: a word that is asked is answered in the next line; a whole shift, and who takes over."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.commands.shift.by_line.session import LineByLine
from console.desk import Desk
from tests.driven.pty_session import PtySession

COMMAND = ("-m", "console.cli", "sort", "--plain", "--yard")
SHIFT = (
    "12.4 304",
    "7.5",
    "4.2 316 pipe",
    "6.3 356 cast",
    "25 c11000 bus",
    "2.1 ybr",
    "45 x4 fer",
    "8 cr18.2 ni8.1 fe71.4 mn1.5 m0",
    "2.6 ? ; grey, dense",
    "3 sheeet 304",
    "1",
    "1.9 zdc",
    "3 cub",
    "undo",
    "3 cub",
    "5.2 ?",
    "8.6 lead sheet h5",
    "12.4 6063 .e",
    "T1-H1",
    "cr18.3 ni8.2 fe71.2 mn1.5",
    "shot on a ground spot",
    "note gate 3 sticks",
)
CLOSING = ("close", "T1-H2 stays till Monday", "no scale today", "")


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """The demo yard, open."""
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


def piped(yard: Path, *lines: str) -> subprocess.CompletedProcess[str]:
    """Sort lines that come through a pipe."""
    return subprocess.run(
        [sys.executable, *COMMAND, str(yard)],
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        text=True,
        timeout=120,
    )


def lines_of(desk: Desk) -> list[str]:
    """Return the lines of the pieces, the newest first."""
    return [piece.line for piece in desk.review.pieces()]


@pytest.mark.parametrize(
    ("typed", "answer", "kept"),
    [("3 sheeet 304", "1", "3 sheet 304"), ("3 blorf 304", "", "3 304 ; blorf"), ("3 sheeet 304", "", None)],
)
def test_a_number_or_enter_answers_a_word(desk: Desk, typed: str, answer: str, kept: str | None) -> None:
    """The number alone, as the question says: it is no weight of a piece like the one before."""
    session = LineByLine(desk)
    session.answer("12.4 304")
    assert "Enter again keeps it as a note" in session.answer(typed)
    assert session.answer(answer).startswith("3.00 kg")

    assert lines_of(desk) == [kept or "3 304 ; sheeet", "12.4 304"]
    assert (session.asked, session.refused) == (None, 0)


def test_another_line_is_a_piece_of_its_own(desk: Desk) -> None:
    """What was asked is not done and counts so; a number after it is a weight again."""
    session = LineByLine(desk)
    session.answer("3 sheeet 304")
    assert session.answer("7 stn").startswith("7.00 kg")
    assert session.answer("1").startswith("1.00 kg")

    assert lines_of(desk) == ["1 ; as the piece before", "7 stn"]
    assert session.refused == 1


def test_a_word_is_answered_beside_a_tare_and_in_a_correction(desk: Desk) -> None:
    """The line that was asked about is the one with the tare; a correction stays one."""
    session = LineByLine(desk)
    session.answer("tare 2")
    session.answer("30 sheeet 304")
    assert session.answer("1").startswith("28.00 kg")
    session.answer("tare")
    assert "Type 1" in session.answer("correct 29 foill 304")
    assert session.answer("1").startswith("corrected: 29.00 kg")

    assert lines_of(desk)[0] == "29 foil 304"


def test_a_question_left_open_at_the_end_is_told_by_the_status(yard_folder: Path) -> None:
    """A line that was not taken is no success."""
    assert piped(yard_folder, "3 304").returncode == 0
    assert piped(yard_folder, "3 sheeet 304").returncode == 1


def test_a_shift_by_a_pipe_is_closed_and_taken_over_by_the_next(yard_folder: Path) -> None:
    """Fifteen pieces, an undo, a hold resolved, one signed for; the next start says what was left."""
    done = piped(yard_folder, *SHIFT, *CLOSING)

    assert (done.returncode, done.stderr) == (0, "")
    assert "off hold to STN stainless 18-8" in done.stdout
    assert "run T1-0001 closed" in done.stdout
    handover = (yard_folder / "handover-T1-0001.txt").read_text(encoding="utf-8")
    assert "gate 3 sticks" in handover and "no scale today" in handover
    next_one = piped(yard_folder, "person Jory", "left", "seen", "quit")
    for said in ("Something was left for you", "T1-H2", "gate 3 sticks", "has seen what was left"):
        assert said in next_one.stdout, said
    assert "" not in next_one.stdout.split("\n")[:-1]


def test_a_shift_on_a_terminal_says_the_same(yard_folder: Path) -> None:
    """Typed key by key at the prompt of a terminal; nothing is drawn, no escape sequence is sent."""
    session = PtySession([*COMMAND, str(yard_folder)], size=(80, 24))
    try:
        session.wait_for("piece:")
        session.send("3 sheeet 304\r")
        session.wait_for("answer:")
        session.send("1\r")
        session.wait_for("3.00 kg to STN stainless 18-8")
        session.send("2.6 ?\r")
        session.wait_for("write T1-H1 on it")
        session.send("quit\r")
        assert session.end() == 0
    finally:
        session.close()
    assert b"\x1b" not in session.painted
