"""A shift of forty pieces on a real terminal, with keystrokes alone, read back from the screen."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.driven.keystrokes import TWENTY
from tests.driven.pty_session import PtySession

FAULT = """
import sys
from console.desk import Desk
def fault(self):
    raise ZeroDivisionError("of nobody's concern")
Desk.undo = fault
from console.cli import main
sys.exit(main(["--yard", sys.argv[1]]))
"""


@pytest.fixture
def sessions() -> Iterator[list[PtySession]]:
    """Collects the programs a test starts, and leaves none behind."""
    started: list[PtySession] = []
    yield started
    for session in started:
        session.close()


def test_forty_pieces_by_keys_alone(yard: Path, sessions: list[PtySession]) -> None:
    """Every piece is confirmed on the screen; undo, correction, ticket and close-out follow; sums agree."""
    session = PtySession(["-m", "console.cli", "--yard", str(yard)])
    sessions.append(session)
    session.wait_for("since")
    grams, pieces = 0, 0
    for typed in [*TWENTY, *TWENTY]:
        session.send(typed.line + "\r")
        weight = float(re.match(r"[0-9.]+", typed.line)[0])  # type: ignore[index]
        grams += round(weight * 1000)
        pieces += 4 if "x4" in typed.line else 1
        session.wait_for(f"{pieces} pieces  {grams / 1000:.2f} kg" if pieces > 1 else "1 piece ")
        session.wait_for(f"{weight:.2f} kg" + (" x4" if "x4" in typed.line else "") + f" -> {typed.bay} ")

    session.send("\x1bOS")
    session.wait_for("taken back")
    session.send("\x10")
    session.wait_for("Correcting the last piece")
    session.send("\x152 zn95.4 al4 cu0.1\r")
    session.wait_for("corrected: 2.00 kg")
    total = grams - 2600 - 1900 + 2000
    screen = session.wait_for(f"{pieces - 1} pieces  {total / 1000:.2f} kg")
    assert "1 on hold" in screen

    session.send("\x1b[19~")
    session.settle()
    session.send(f"{total / 1000 + 100:.2f} 100 forty pieces\r")
    session.wait_for("inside")
    session.send("\x1b[19~")
    session.wait_for("carry all over")
    session.settle()
    session.send("1\r")
    session.wait_for("Who signs")
    session.settle()
    session.send("1\r")
    session.wait_for("HANDOVER")
    assert list(yard.glob("handover-*.txt"))


def test_a_fault_gives_the_terminal_back_and_says_where_the_report_is(
    yard: Path, sessions: list[PtySession]
) -> None:
    """Exit 70, the picture is gone, one sentence names the file, and no traceback is shown."""
    session = PtySession(["-c", FAULT, str(yard)])
    sessions.append(session)
    session.wait_for("since")
    session.send("12.4 304\r")
    session.wait_for("1 piece  12.40 kg")
    session.send("\x1bOS")

    assert session.end() == 70
    tail = session.painted[-3000:]
    assert b"\x1b[?1049l" in tail and b"\x1b[?25h" in tail
    assert b"fault-" in tail and b"Traceback" not in tail
    assert len(list(yard.glob("fault-*.txt"))) == 1


def test_keys_sent_in_one_go_keep_their_order(yard: Path, sessions: list[PtySession]) -> None:
    """A scanner sends lines without a pause: Enter ends its own line, Ctrl U clears what came before."""
    session = PtySession(["-m", "console.cli", "--yard", str(yard)])
    sessions.append(session)
    session.wait_for("since")
    session.send("1 304\r2 304\rnonsense\x153 304\r4 304\r")

    session.wait_for("4 pieces  10.00 kg")
