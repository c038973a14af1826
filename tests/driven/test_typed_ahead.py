"""Keys that come in one go, as on a slow connection: each acts in its turn. On a real terminal."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.driven.pty_session import PtySession

INSERT, SHOT, GROUND, AGAIN = b"\x1b[2~", b"\x19", b"\x0e", b"\x1bOR"


@pytest.fixture
def session(yard: Path) -> Iterator[PtySession]:
    """The console with one piece tallied and two readings waiting."""
    (yard / "readings" / "a.csv").write_text("piece,Cr,Ni\nA1,18.2,8.1\nA2,17.1,10.9\n", encoding="utf-8")
    opened = PtySession(["-m", "console.cli", "--yard", str(yard)])
    opened.wait_for("2 readings waiting, next A1: Ins")
    opened.send(b"12.4 304\r")
    opened.wait_for("1 piece  12.40 kg")
    yield opened
    opened.close()


def test_a_reading_comes_before_the_enter_behind_it(session: PtySession) -> None:
    """Weight, key, Enter in one go: the piece has its reading, and is not the last one again."""
    session.send(b"2 " + INSERT + b"\r")

    session.wait_for("1 reading waiting, next A2: Ins")
    assert "2 pieces  14.40 kg" in session.settle()
    session.send(b"3" + INSERT + b" m0\r")
    session.wait_for("3 pieces  17.40 kg")
    assert "1 reading waiting" not in session.settle() and "A2 on the line" not in session.text


def test_a_shot_mark_stands_between_its_readings(session: PtySession) -> None:
    """A mark of a shot typed in one burst with its readings stands between them."""
    session.send(b"2 ni82" + SHOT + b"cu61" + GROUND + b"zn99")

    session.wait_for("2 ni82 / cu61 // zn99")


def test_same_again_takes_the_weight_before_it_only(session: PtySession) -> None:
    """The next line, typed ahead, is no part of the one that the key tallied."""
    session.send(b"7.5" + AGAIN + b"4.2 316")

    session.wait_for("2 pieces  19.90 kg")
    assert "│ 4.2 316" in session.settle()


def test_the_first_keys_after_the_start_find_the_dictionary(yard: Path) -> None:
    """A word typed into the first picture, while the yard opens behind it, is understood and tallied."""
    opened = PtySession(["-m", "console.cli", "--yard", str(yard)])
    try:
        opened.wait_for("F1")
        opened.send(b"3 Messingrohr\r")

        opened.wait_for("1 piece  3.00 kg")
        assert "not understood" not in opened.settle()
    finally:
        opened.close()
