"""Work that lasts: a bar or words on a terminal only, and Ctrl C leaves nothing half-done."""

import io
import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from console.commands import progress as module
from console.commands.plain_mode import ask_for_plain
from console.commands.progress import followed, progress, undivided
from tests.driven.pty_session import PtySession


class Terminal(io.StringIO):
    """Standard error as a terminal."""

    def isatty(self) -> bool:
        return True


def terminal_in(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Let whatever is told land in the terminal returned, and soon; called by the test, as pytest's own
    capturing takes standard error back after the fixtures."""
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(module, "LASTS_S", 0.02)
    monkeypatch.setattr(module, "BETWEEN_WORDS_S", 0.02)
    monkeypatch.setattr(module, "LOOK_EVERY_S", 0.01)
    return stream


def wait_for(stream: Terminal, text: str) -> None:
    """Wait until a text was written."""
    end = time.monotonic() + 10.0
    while text not in stream.getvalue() and time.monotonic() < end:
        time.sleep(0.01)
    assert text in stream.getvalue()


def test_words_tell_how_long_it_still_takes(monkeypatch: pytest.MonkeyPatch) -> None:
    """In plain mode a line with what is done and what is left."""
    terminal = terminal_in(monkeypatch)
    ask_for_plain(True)
    try:
        with progress("verifying", 400, unit="rows") as tell:
            tell(100)
            wait_for(terminal, "verifying: 100 of 400 rows, about")
    finally:
        ask_for_plain(False)


def test_a_bar_tells_it_elsewhere_and_goes_away(monkeypatch: pytest.MonkeyPatch) -> None:
    """The bar is on standard error and its line is cleared at the end."""
    terminal = terminal_in(monkeypatch)
    with progress("verifying", 400) as tell:
        tell(100)
        wait_for(terminal, "verifying")

    assert module._running == []


def test_nothing_is_told_where_nobody_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Into a file or a pipe goes no bar, however long it takes."""
    stream = io.StringIO()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(module, "LASTS_S", 0.0)

    assert list(followed([1, 2, 3], "reading", 3)) == [1, 2, 3]
    assert stream.getvalue() == ""


def test_what_is_undivided_comes_to_its_end() -> None:
    """Ctrl C in the middle counts after it, and only once."""
    done = []
    with pytest.raises(KeyboardInterrupt), undivided():
        os.kill(os.getpid(), signal.SIGINT)
        done.append("whole")

    assert done == ["whole"]


def test_ctrl_c_keeps_every_line_that_was_said(yard_folder: Path, tmp_path: Path) -> None:
    """`enter` stopped half-way: status 130, a clear line, and exactly the lines told are in the store."""
    shift = tmp_path / "shift.txt"
    shift.write_text("12.4 304\n" * 20_000, encoding="utf-8")
    command = [sys.executable, "-m", "console.cli", "enter", str(shift), "--yard", str(yard_folder)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        first = [process.stdout.readline() for _ in range(5)]
        process.send_signal(signal.SIGINT)
        rest, complaint = process.communicate(timeout=60)

    told = first + rest.splitlines()
    with sqlite3.connect(yard_folder / "yard.sqlite3") as store:
        (kept,) = store.execute("SELECT count(*) FROM ledger WHERE kind = 'piece'").fetchone()
    assert process.returncode == 130
    assert complaint.strip() == (
        "baywright enter: stopped; nothing is half-done, and what was confirmed is kept"
    )
    assert kept == len(told) < 20_000


def test_a_real_terminal_sees_the_bar_and_the_lines(yard_folder: Path, tmp_path: Path) -> None:
    """Lines of the result stand above the bar; the bar has the time left and is gone at the end."""
    shift = tmp_path / "shift.txt"
    shift.write_text("12.4 304\n" * 20_000, encoding="utf-8")
    session = PtySession(
        ["-m", "console.cli", "enter", str(shift), "--yard", str(yard_folder)], size=(100, 24)
    )
    try:
        session.wait_for("entering")
        assert "304" in session.text
        session.send(b"\x03")
        session.wait_for("nothing is half-done")
        assert session.end() == 130
        assert "entering" not in session.text.splitlines()[-1]
    finally:
        session.close()
