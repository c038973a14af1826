"""Whatever signal comes, the console answers keys or ends in good order, and the terminal is given back."""

import fcntl
import os
import select
import signal
import sys
import termios
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.driven.pty_session import LONGEST_WAIT_S, PtySession


@pytest.fixture
def session(yard_folder: Path) -> Iterator[PtySession]:
    """The console on a real terminal, at work."""
    opened = PtySession(["-m", "console.cli", "--yard", str(yard_folder)], size=(100, 30))
    try:
        yield opened
    finally:
        opened.close()


def modes(session: PtySession) -> list[object]:
    """Return the modes of the terminal; both ends of a pseudo-terminal share them."""
    return termios.tcgetattr(session._master)[:4]


def is_on_main_screen(session: PtySession) -> bool:
    entered, left = session.painted.rfind(b"\x1b[?1049h"), session.painted.rfind(b"\x1b[?1049l")
    return left > entered or entered == -1


def test_after_a_stop_keys_are_answered_and_the_terminal_is_given_back(session: PtySession) -> None:
    """SIGSTOP and SIGCONT: the next piece is tallied, Ctrl Q ends, and the terminal is as it was before."""
    before = modes(session)
    session.wait_for("since")

    for stop in range(2):
        session.process.send_signal(signal.SIGSTOP)
        os.waitid(os.P_PID, session.process.pid, os.WSTOPPED | os.WNOWAIT)
        session.process.send_signal(signal.SIGCONT)
        while session.painted.count(b"\x1b[?1049h") < stop + 2:
            assert session.process.poll() is None
            session.read(0.05)
    session.send("12.4 304\r")
    session.wait_for("done 12.40 kg")
    session.send("\x11")

    assert session.end() == 0
    assert modes(session) == before
    assert is_on_main_screen(session)


def test_an_interrupt_from_outside_is_told(session: PtySession, yard_folder: Path) -> None:
    """SIGINT sent by another program ends with status 130 and a word, and keeps the line."""
    before = modes(session)
    session.wait_for("since")
    session.send("7.7 30")
    session.wait_for("7.7 30")

    assert session.end(signal.SIGINT) == 130

    assert b"stopped from outside" in session.painted
    assert (yard_folder / "yard.half-typed").read_text(encoding="utf-8").strip() == "7.7 30"
    assert modes(session) == before


@pytest.mark.parametrize("after", [b"", b"\x1b[?1049h", b"Baywright"])
def test_a_storm_of_interrupts_at_the_start_leaves_no_mess(session: PtySession, after: bytes) -> None:
    """From the first byte, the first frame, or at once: many SIGINT, then the main screen and its modes."""
    before = modes(session)
    while after and after not in session.painted:
        session.read(0.05)

    while session.process.poll() is None:
        session.process.send_signal(signal.SIGINT)
        session.read(0.005)
    while session.read(0.05):
        pass

    assert is_on_main_screen(session)
    assert modes(session) == before
    # Python that is interrupted while it reads its own site folders ends with 1: nothing of ours began.
    if b"Failed to import the site module" not in session.painted:
        assert session.process.returncode in (130, -signal.SIGINT)
        assert b"Traceback" not in session.painted or session.process.returncode == -signal.SIGINT


def test_a_storm_of_going_on_leaves_the_console_answering(session: PtySession) -> None:
    """However many SIGCONT come in the middle of taking one up, it answers and ends in good order."""
    before = modes(session)
    session.wait_for("since")
    for _ in range(8):
        session.process.send_signal(signal.SIGCONT)
        session.read(0.001)
    session.settle(1.0)  # what is typed while the line is set up anew is flushed with it

    session.send("12.4 304")
    session.wait_for("12.4 304")
    session.send("\x11")
    assert session.end() == 0
    assert modes(session) == before


def test_a_line_lost_while_nobody_read_it_ends_the_console(session: PtySession, yard_folder: Path) -> None:
    """Pictures wait unread, the program is stopped, the line goes: it ends by itself, the last line kept."""
    session.wait_for("since")
    leave_pictures_unread(session)
    session.process.send_signal(signal.SIGSTOP)
    os.waitid(os.P_PID, session.process.pid, os.WSTOPPED | os.WNOWAIT)

    session.hang_up()
    session.process.send_signal(signal.SIGCONT)

    assert session.end() == 129
    assert (yard_folder / "yard.sqlite3").exists()


def test_a_terminal_that_takes_nothing_more_holds_up_no_end(session: PtySession, yard_folder: Path) -> None:
    """Pictures wait unread and nobody will read them: SIGTERM ends the console, the line kept."""
    session.wait_for("since")
    leave_pictures_unread(session)
    session.process.send_signal(signal.SIGTERM)

    assert session.process.wait(LONGEST_WAIT_S) == 143
    assert set((yard_folder / "yard.half-typed").read_text(encoding="utf-8").strip()) == {"7"}


def test_a_lost_line_that_nothing_tells_of_ends_the_console(yard_folder: Path) -> None:
    """Without a controlling terminal no SIGHUP comes: the line is found gone, and the console ends."""
    session = PtySession(["-m", "console.cli", "--yard", str(yard_folder)], size=(100, 30), controls=False)
    try:
        session.wait_for("since")
        session.hang_up()
        assert session.end() == 129
    finally:
        session.close()


def leave_pictures_unread(session: PtySession) -> None:
    """Press keys until nothing more is painted, because nobody takes up what was."""
    waiting, rounds_without_picture = -1, 0
    while rounds_without_picture < 40:
        session.send("7" if rounds_without_picture % 2 else "\x15")
        select.select([], [], [], 0.03)
        before, waiting = (
            waiting,
            int.from_bytes(fcntl.ioctl(session._master, termios.FIONREAD, bytes(4)), sys.byteorder),
        )
        rounds_without_picture = rounds_without_picture + 1 if waiting == before else 0
