"""The console on a real pseudo-terminal: signals, broken bytes, lost lines, no terminal."""

import io
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from console.cli import main
from tests.driven.pty_session import LONGEST_WAIT_S, ROOT, PtySession

SCREEN_BACK = b"\x1b[?1049l"
CURSOR_BACK = b"\x1b[?25h"


@pytest.fixture
def sessions() -> Iterator[list[PtySession]]:
    """Collects the programs a test starts, and leaves none behind."""
    started: list[PtySession] = []
    yield started
    for session in started:
        session.close()


def opened(yard: Path, sessions: list[PtySession], **environment: str) -> PtySession:
    """Start the console and wait until its yard is open."""
    session = PtySession(["-m", "console.cli", "--yard", str(yard)], environment=environment)
    sessions.append(session)
    session.wait_for("since")
    return session


def test_a_run_survives_sigterm_as_it_was(yard: Path, sessions: list[PtySession]) -> None:
    """SIGTERM: exit 143, the terminal is given back, and the next start shows the same run and line."""
    session = opened(yard, sessions)
    session.send("12.4 304\r")
    session.wait_for("1 piece  12.40 kg")
    session.send("3.1 yellow brass\r")
    session.wait_for("2 pieces  15.50 kg")
    session.send("820g cop")
    session.wait_for("820g cop")

    assert session.end(signal.SIGTERM) == 143
    tail = session.painted[-2000:]
    assert SCREEN_BACK in tail and CURSOR_BACK in tail

    again = opened(yard, sessions)
    again.wait_for("2 pieces  15.50 kg")
    again.wait_for("820g cop")


WITH_A_DEAD_DRIVE = """
import sys, time
from console.cli import main
from console.readings.files import WatchedFolder
def never(self):
    print("looking", file=open(sys.argv[3], "w"), flush=True)
    time.sleep(3600)
WatchedFolder.poll = never
sys.exit(main(sys.argv[1:3]))
"""
"""The console where the folder for readings answers no more."""


def test_a_drive_that_went_away_holds_up_no_end(yard: Path, sessions: list[PtySession]) -> None:
    """Ctrl Q ends the program and gives the terminal back though a look into the folder never returns."""
    (yard / "readings").mkdir(exist_ok=True)
    sign = yard / "looking"
    session = PtySession(["-c", WITH_A_DEAD_DRIVE, "--yard", str(yard), str(sign)])
    sessions.append(session)
    session.wait_for("since")
    session.send("12.4 304\r")
    session.wait_for("1 piece  12.40 kg")
    end = time.monotonic() + LONGEST_WAIT_S
    while not sign.exists() and time.monotonic() < end:
        session.read(0.05)
    assert sign.exists(), "the folder is being looked into"

    session.send(b"\x11")
    assert session.end() == 0
    assert SCREEN_BACK in session.painted[-2000:]


def test_a_lost_line_ends_in_good_order(yard: Path, sessions: list[PtySession]) -> None:
    """The terminal goes away: exit 129, store closed, the half-typed line is there at the next start."""
    session = opened(yard, sessions)
    session.send("12.4 304\r")
    session.wait_for("1 piece  12.40 kg")
    session.send("5 half")
    session.wait_for("5 half")
    session.hang_up()

    assert session.end() == 129

    again = opened(yard, sessions)
    again.wait_for("1 piece  12.40 kg")
    again.wait_for("5 half")


def test_rude_input_and_a_second_console_disturb_nobody(yard: Path, sessions: list[PtySession]) -> None:
    """A byte that is no UTF-8 and control characters in a paste are text; who comes second is told so."""
    session = opened(yard, sessions)
    session.send(b"12.4 \xff304")
    session.wait_for("12.4 ")
    session.settle()
    assert session.process.poll() is None
    session.send(b"\x15")
    session.settle()
    session.send("12.4 304\r")
    session.wait_for("1 piece  12.40 kg")

    session.send(b"\x1b[200~2 304 ; \x07\x9b5m a\x0bb\x1b[201~\r")
    session.settle()
    assert session.process.poll() is None
    assert b"\x9b5m" not in session.painted and b"a\x0bb" not in session.painted

    second = PtySession(["-m", "console.cli", "--yard", str(yard)])
    sessions.append(second)

    assert second.end() == 1
    said = second.painted.decode().rpartition("baywright: ")[2]
    assert "Another console writes to" in said and "or look without writing" in " ".join(said.split())
    assert all(len(row) < 80 or " " not in row for row in said.splitlines()), "a row ends behind a word"
    assert b"Traceback" not in second.painted
    assert session.process.poll() is None


def test_a_damaged_store_is_told_and_not_touched(
    yard: Path, sessions: list[PtySession], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Bytes flipped in the store: status 1, what to do in words; verify and salvage say what can be saved."""
    lines = "".join(f"{number} 304\n" for number in range(1, 31))
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(lines.encode())))
    assert main(["enter", "-", "--yard", str(yard)]) == 0
    store = yard / "yard.sqlite3"
    data = bytearray(store.read_bytes())
    for at in range(len(data) // 2, len(data) // 2 + 3000, 7):
        data[at] ^= 0xFF
    store.write_bytes(data)

    again = PtySession(["-m", "console.cli", "--yard", str(yard)])
    sessions.append(again)

    again.wait_for("Leave; nothing is changed")
    again.send("4\r")
    assert again.end() == 1
    assert b"is damaged" in b" ".join(again.painted.split()) and b"Traceback" not in again.painted
    assert store.read_bytes() == data
    assert main(["verify", "--yard", str(yard)]) == 1
    assert main(["salvage", str(yard / "rows.jsonl"), "--yard", str(yard)]) in (0, 1)
    rows = [json.loads(line) for line in (yard / "rows.jsonl").read_text(encoding="utf-8").splitlines()]
    whole = {json.loads(row["body"])["line"] for row in rows if row["kind"] == "piece" and row["is_whole"]}
    assert len(whole) >= 10 and whole <= {f"{number} 304" for number in range(1, 31)}


@pytest.mark.parametrize(
    ("environment", "plain"),
    [
        ({"TERM": "linux", "NO_COLOR": "1"}, False),
        ({"PYTHONIOENCODING": "ascii"}, True),
    ],
)
def test_poor_terminals_show_everything(
    yard: Path, sessions: list[PtySession], environment: dict[str, str], plain: bool
) -> None:
    """16 colours, no colours, no Unicode: the words and marks are all there."""
    session = opened(yard, sessions, **environment)
    session.send("8.05 cr18.2 ni8.1 fe71.4 qqqzz")
    session.wait_for("'qqqzz' not understood")
    session.wait_for("why 304")
    picture = session.settle()

    assert ("> 304" if plain else "▶ 304") in picture
    if plain:
        assert session.painted.isascii()
        assert "\\u" not in picture


def test_no_terminal_is_refused_with_words(yard: Path) -> None:
    """Without a terminal the console does not start; it names the commands that need none."""
    streams = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    done = subprocess.run(
        [sys.executable, "-m", "console.cli", "--yard", str(yard)],
        cwd=ROOT,
        env={**os.environ, "TERM": "xterm"},
        timeout=30,
        check=False,
        **streams,  # type: ignore[call-overload]
    )

    assert done.returncode == 2
    assert b"baywright enter" in done.stderr
