"""What may hurt waits on hold, whatever else the line says; the sorter still has the last word."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk, DeskRefusal
from console.ledger.views.piece_state import piece_state
from console.yard.placing.placement import Sureness

SURE = "12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3 mo0.2"
"""Goes to a bay by itself."""


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


@pytest.mark.parametrize(
    ("word", "caution_id", "reason"),
    [
        ("trefoil", "RAD", "hold: possible radioactive source"),
        ("gas bottles", "CYL", "hold: closed container"),
        ("battery", "LI", "hold: battery"),
        ("grenade", "MUN", "hold: possible ammunition"),
        ("tilt switch", "HG", "hold: mercury"),
        ("sodium valve", "NAK", "hold: reacts with water"),
        ("; next to the fire extinguisher", "CYL", "hold: closed container"),
    ],
)
def test_a_dangerous_word_holds_a_piece_that_would_go_to_a_bay(
    desk: Desk, word: str, caution_id: str, reason: str
) -> None:
    """The metal is as sure as before, and the suggestion is hold with the caution's title."""
    plain = desk.consider(SURE).placement
    assert plain is not None and not plain.bay.is_hold

    considered = desk.consider(f"{SURE} {word}")

    placement = considered.placement
    assert placement is not None
    assert (placement.bay.is_hold, placement.sureness, placement.reason) == (True, Sureness.OPEN, reason)
    assert placement.second is None
    assert considered.held_for is not None and considered.held_for.caution_id == caution_id
    assert considered.held_for in considered.cautions


@pytest.mark.parametrize("word", ["galv", "lead paint", "beryllium", "gearbox", "; from the bottling plant"])
def test_other_cautions_leave_the_placement_alone(desk: Desk, word: str) -> None:
    """A caution about the metal or about dust is no reason to hold a whole piece."""
    considered = desk.consider(f"{SURE} {word}")

    assert considered.held_for is None
    assert considered.placement is None or not considered.placement.reason.startswith("hold: closed")


def test_it_waits_with_a_tag_and_says_what_for(desk: Desk) -> None:
    """A piece that a caution speaks of goes on hold, tagged, and its hazard is what it waits for."""
    row_id = desk.tally(desk.consider(f"{SURE} gas bottle")).row.row_id

    state = piece_state(desk.ledger, row_id)

    assert state is not None
    assert (state.bay, state.is_held, state.is_override, state.sureness) == (
        desk.yard.hold_bay.code,
        True,
        False,
        "open",
    )
    assert desk.sums().holds[0].waits_for == "closed container"
    with pytest.raises(DeskRefusal, match="closed container"):
        desk.review.resolve(row_id, "304", "stamp found")


@pytest.mark.parametrize("line", [f"{SURE} gas bottle", "9 gas bottle"])
def test_the_sorter_may_choose_a_bay_and_the_ledger_says_so(desk: Desk, line: str) -> None:
    """A bay on the line or chosen by key is an override, also where nothing is known of the metal."""
    by_line = desk.tally(desk.consider(f"{line} @fer"))
    by_key = desk.tally(desk.consider(line), bay_code="FER")

    assert [(s.bay, s.is_override) for s in desk.review.pieces()] == [("FER", True), ("FER", True)]
    assert f"bay chosen by {desk.person}; advice was" in by_line.sentence
    assert f"bay chosen by {desk.person}; advice was" in by_key.sentence


def test_a_piece_held_by_the_sorter_is_open_however_sure_its_grade(desk: Desk) -> None:
    """A piece on hold is not "settled": nobody has placed it yet."""
    desk.tally(desk.consider(f"{SURE} ? ; wait for the foreman"))

    piece = desk.review.pieces()[0]

    assert (piece.is_held, piece.grade_id, piece.sureness) == (True, "304", "open")
    assert desk.sums().holds[0].waits_for == "wait for the foreman"
