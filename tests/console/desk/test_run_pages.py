"""A run read page by page is the run read whole."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk, run_pages
from console.ledger.views.piece_state import piece_states


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime], monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A run of 25 pieces with corrections, in a store whose pages are small."""
    monkeypatch.setattr(run_pages, "PAGE", 7)
    desk = Desk.open(yard_folder, now=clock)
    for number in range(1, 26):
        desk.tally(desk.consider(f"{number} 304"))
    pieces = desk.review.pieces()
    desk.review.void(pieces[20].row_id, "entered twice")
    desk.review.reweigh(pieces[3].row_id, "99.5", "misread")
    desk.review.move(pieces[11].row_id, "HLD", "not sure")
    return desk


def test_pages_together_are_the_run(desk: Desk) -> None:
    """Newest first, every piece once, each as it stands after its corrections."""
    run_id = desk.run().run_id
    pages = list(run_pages.pages_below(desk.ledger.path, run_id, run_pages.newest_seq(desk.ledger)))

    assert len(pages) > 3
    assert [piece for page in pages for piece in page] == piece_states(desk.ledger, run_id)[::-1]


def test_only_what_changed_is_read_again(desk: Desk) -> None:
    """A move and a new piece come back, nothing else; undo brings the moved one again."""
    seen = run_pages.newest_seq(desk.ledger)
    oldest = desk.review.pieces()[-1]
    desk.review.move(oldest.row_id, "HLD", "look again")
    new = desk.tally(desk.consider("3 brass"))

    changed = run_pages.changed_since(desk.ledger, seen)
    assert {piece.row_id for piece in changed} == {oldest.row_id, new.row.row_id}

    seen = run_pages.newest_seq(desk.ledger)
    assert run_pages.changed_since(desk.ledger, seen) == []
    desk.undo()
    [voided] = run_pages.changed_since(desk.ledger, seen)
    assert voided.row_id == new.row.row_id and voided.is_void


def test_a_ticket_or_a_note_changes_no_piece(desk: Desk) -> None:
    """Voiding a note is no change of a piece."""
    seen = run_pages.newest_seq(desk.ledger)
    desk.note("gloves are out")
    desk.undo()

    assert run_pages.changed_since(desk.ledger, seen) == []


def test_no_pages_of_a_run_that_is_not_there(desk: Desk) -> None:
    """An unknown run has no pages, and asking for them ends."""
    assert list(run_pages.pages_below(desk.ledger.path, "T9-0009", 10_000)) == []
