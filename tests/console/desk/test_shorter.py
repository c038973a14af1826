"""What practice calls shorter is shorter, and the same piece."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk
from console.desk.shifts.practice_pieces import PIECES
from console.desk.shifts.shorter import said_by, shorter


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """The demo yard, open."""
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


@pytest.mark.parametrize(
    ("typed", "short"),
    [
        ("7.7 painted ext 6063 ; siding", "7.7+p.e6063"),
        ("0.8 6063 extrusion bare", ".8.e+b6063"),
        ("8.0 304 cr18.2 ni8.1", "8 304 =18.2 8.1"),
        ("2 m2 ni82 cr17 // fe98.4", "2 ni82cr17//fe98.4m2"),
        ("5.1 gas bottle sheet", "5.1.s gas bottle"),
        ("3stn", ""),
        ("7.5 x3", ""),
    ],
)
def test_a_line_is_said_shorter_or_not_at_all(desk: Desk, typed: str, short: str) -> None:
    """Short forms, no needless nought or blank, a reading in one word; what is short already stays."""
    assert shorter(desk, typed) == short


def test_nothing_of_a_piece_is_lost(desk: Desk) -> None:
    """Each practice piece in its shorter line is the same piece, by the grammar of the console."""
    for piece in PIECES:
        short = shorter(desk, piece.answer)
        wanted, found = desk.consider(piece.answer), desk.consider(desk.piece.habit.in_full(short))

        assert len(short) < len(piece.answer)
        assert said_by(found.parsed) == said_by(wanted.parsed), short


def test_an_order_that_another_piece_brought_is_not_leant_on(desk: Desk) -> None:
    """Values alone go by the metal named on the line, not by whatever was read last."""
    desk.tally(desk.consider("3 cr18.2 ni8.1 fe71"))

    assert "=" not in shorter(desk, "4 cr17.9 ni8.4 fe70.8 m0")
    assert shorter(desk, "4 cr17.9 ni8.4 fe70.8 m0") == "4- 17.9cr8.4ni70.8fe"
