"""`baywright new` on a real terminal: questions, wrong answers, Ctrl C."""

import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from grade_library.library import load
from tests.driven.pty_session import PtySession
from tests.yards import load_yard

Started = Callable[[Path], PtySession]


@pytest.fixture
def started(tmp_path: Path) -> Iterator[Started]:
    """Start the command on a folder; end it whatever happens."""
    sessions: list[PtySession] = []

    def start(folder: Path) -> PtySession:
        session = PtySession(
            ["-m", "console.cli", "new", str(folder)],
            environment={"XDG_CACHE_HOME": str(tmp_path / "cache")},
        )
        sessions.append(session)
        return session

    yield start
    for session in sessions:
        session.close()


def test_answers_and_defaults_become_a_yard(tmp_path: Path, started: Started) -> None:
    """A wrong answer is told and asked again; Enter takes what stands in brackets."""
    session = started(tmp_path / "yard")

    def answer(number: int, text: str) -> None:
        session.wait_for(f"{number:2}/11")
        session.settle()
        session.send(f"{text}\r")

    answer(1, "Hook & Sons")
    answer(2, "stone")
    session.wait_for('"stone" is not one of kg, lb, t, short ton.')
    session.send("lb\r")
    answer(3, "USD")
    answer(4, "Ann, Bo")
    answer(5, "copper, stainless-300")
    answer(6, "")
    answer(7, "0.01 lb")
    session.wait_for("needs to be above the division, 0.05 lb.")
    session.send("\r")
    answer(8, "")
    answer(9, "")
    answer(10, "2")
    answer(11, "N")
    session.wait_for("opens the console")

    assert session.end() == 0
    yard = load_yard(tmp_path / "yard", load())
    assert (yard.name, yard.weight_unit, yard.people) == ("Hook & Sons", "lb", ("Ann", "Bo"))
    assert (yard.piece_scale.largest_g, yard.technique, yard.terminal) == (272_155, "libs", "N-T1")
    assert [bay.code for bay in yard.bays] == ["CNO", "CNT", "SSE", "SSM", "HLD"]


@pytest.mark.parametrize(("keys", "status"), [("\x03", 130), ("\x04", 2)])
def test_ended_in_the_middle_nothing_is_written(
    tmp_path: Path, started: Started, keys: str, status: int
) -> None:
    """Ctrl C and the end of input leave no file and no folder, and no traceback."""
    session = started(tmp_path / "yard")
    session.wait_for(" 1/11")
    session.settle()
    session.send("Half a yard\r")
    session.wait_for(" 2/11")
    session.settle()

    session.send(keys)

    assert session.end() == status
    assert "nothing was written" in session.text
    assert "Traceback" not in session.text
    assert not (tmp_path / "yard").exists()


def test_a_lost_line_leaves_nothing(tmp_path: Path, started: Started) -> None:
    """A terminal that is lost among the questions leaves no folder behind."""
    session = started(tmp_path / "yard")
    session.wait_for(" 1/11")

    assert session.end(signal.SIGHUP) != 0
    assert not (tmp_path / "yard").exists()
