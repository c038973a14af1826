"""Correcting the last piece: old one voided, new one tallied, in one act."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk, DeskRefusal


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """Return a desk with two pieces tallied."""
    opened = Desk.open(yard_folder, now=clock)
    opened.tally(opened.consider("3.1 6063 extrusion"))
    opened.tally(opened.consider("12.4 304"))
    yield opened
    opened.close()


def masses(desk: Desk) -> list[int]:
    """Return the grams of every piece that stands, newest first."""
    return [piece.mass_g for piece in desk.review.pieces() if not piece.is_void]


def test_the_new_piece_stands_in_the_place_of_the_old(desk: Desk) -> None:
    """The old piece stays in the book, void; the piece before it is untouched."""
    said = desk.correct(desk.consider("14.2 304")).sentence

    assert said.startswith("corrected: 14.20 kg")
    assert masses(desk) == [14_200, 3_100]
    assert [piece.is_void for piece in desk.review.pieces()] == [False, True, False]


def test_undo_and_redo_take_a_correction_as_one_act(desk: Desk) -> None:
    """One undo brings the old piece back, one redo the new one; again and again; then the acts before."""
    desk.correct(desk.consider("14.2 304"))

    for _ in range(2):
        desk.undo()
        assert masses(desk) == [12_400, 3_100]
        desk.redo()
        assert masses(desk) == [14_200, 3_100]
    desk.undo()
    desk.undo()
    assert masses(desk) == [3_100]
    desk.redo()
    assert masses(desk) == [12_400, 3_100]
    desk.redo()
    assert masses(desk) == [14_200, 3_100]


def test_a_correction_is_one_act_after_a_restart_too(
    yard_folder: Path, clock: Callable[[], datetime]
) -> None:
    """What belongs together is read from the rows."""
    desk = Desk.open(yard_folder, now=clock)
    desk.tally(desk.consider("3.1 6063 extrusion"))
    desk.tally(desk.consider("12.4 304"))
    desk.correct(desk.consider("14.2 304"))
    desk.close()
    again = Desk.open(yard_folder, now=clock)

    again.undo()

    assert masses(again) == [12_400, 3_100]
    again.close()


def test_a_line_that_cannot_be_tallied_changes_nothing(desk: Desk) -> None:
    """A refusal leaves the old piece as it is."""
    with pytest.raises(DeskRefusal):
        desk.correct(desk.consider("304"))

    assert masses(desk) == [12_400, 3_100]


def test_nothing_to_correct(yard_folder: Path, clock: Callable[[], datetime]) -> None:
    """Without a piece there is nothing to correct."""
    empty = Desk.open(yard_folder, now=clock)
    with pytest.raises(DeskRefusal, match="to correct"):
        empty.correct(empty.consider("12.4 304"))
    empty.close()
