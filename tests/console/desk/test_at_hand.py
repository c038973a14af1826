"""Where Enter would put the piece at hand."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk

SURE = "12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3 mo0.2"


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


def code(desk: Desk, line: str) -> str | None:
    bay = desk.piece.bay(desk.consider(line))
    return bay.code if bay is not None else None


def test_enter_goes_where_the_line_says_or_else_where_it_is_suggested(desk: Desk) -> None:
    """A typed bay first; hold, whatever is suggested; else the suggestion; nowhere from an empty line."""
    placement = desk.consider(SURE).placement
    assert placement is not None and not placement.bay.is_hold

    assert code(desk, SURE) == placement.bay.code
    assert code(desk, f"{SURE} ?") == desk.yard.hold_bay.code
    assert code(desk, f"{SURE} @fer") == "FER"
    assert code(desk, "") is None


def test_a_bare_weight_goes_where_the_last_piece_went(desk: Desk) -> None:
    """Same again: into the bay that the last piece was put in, not the one that was suggested for it."""
    assert not desk.piece.is_same_again(desk.consider("3.1"))

    desk.tally(desk.consider(f"{SURE} @fer"), bay_code="FER")

    assert desk.piece.is_same_again(desk.consider("3.1"))
    assert code(desk, "3.1") == "FER"


def test_a_guarded_bay_is_the_dear_one_that_the_line_names(desk: Desk) -> None:
    """A skin keeps the piece out of the dear bay, not out of the cheap one, nor what cannot be tallied."""
    plated = "1.2 cr65 ni25 fe1"

    contradicted = f"{plated} @nix m0 m2"
    for line, guarded in ((f"{plated} @nix", "NIX"), (f"{plated} @fer", None), (contradicted, None)):
        bay = desk.piece.guarded_bay(desk.consider(line))
        assert (bay.code if bay is not None else None) == guarded


def test_values_alone_go_by_an_earlier_reading_that_began_with_the_symbol(
    yard_folder: Path, clock: Callable[[], datetime]
) -> None:
    """Also after a restart, and however many readings of other metals came between."""
    desk = Desk.open(yard_folder, now=clock)
    for line in ("5 cr18.2ni8.1fe71", "2 cu61.4zn35.2", "2 304", "1 ti90.1v4"):
        desk.tally(desk.consider(line))
    wanted = "6 cr=17.9 ni=8.4"
    assert desk.piece.habit.in_full("6=cr17.9 8.4") == wanted
    desk.close()

    again = Desk.open(yard_folder, now=clock)
    assert again.piece.habit.in_full("6=cr17.9 8.4") == wanted
    again.close()


def test_a_name_of_this_run_is_finished_first(desk: Desk) -> None:
    """Once a piece was tallied under it, the newest first; a piece that is void teaches none."""
    before = desk.piece.said.completions("5 g", 3).ways[0]

    desk.tally(desk.consider("5 gunmetal"))
    assert desk.piece.said.completions("5 g", 3).ways[0] == "gunmetal" != before
    for line in ("5 german silver", "3 cr18.2ni8.1"):
        desk.tally(desk.consider(line))
    assert desk.piece.said.completions("5 g", 3).ways[:2] == ("german silver", "gunmetal")
    desk.tally(desk.consider("5 gelbguss"))
    last = desk.review.last_piece()
    assert last is not None
    desk.review.void(last.row_id, "not so")
    assert desk.piece.said.completions("5 g", 3).ways[:2] == ("german silver", "gunmetal")
