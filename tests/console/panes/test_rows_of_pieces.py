"""A tallied piece in a row, and the bays that are nearest to their limits."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from console.drawing.at_rest import shown_at_rest
from console.drawing.bay_limits import nearest_limits
from console.drawing.piece_rows import held_row, piece_row
from console.ledger.rows.rows import PieceState
from console.yard.chemistry.headroom import BayChemistry, LimitState
from console.yard.yard import Yard
from grade_library.library import load
from tests.console.panes.test_chemistry_pane import AT_RISK, BROKEN, DEMO_YARD, KEPT, METAL
from tests.yards import load_yard

PIECE = PieceState(
    row_id="1",
    seq=1,
    run_id="T1-0001",
    at_utc=datetime(2026, 3, 14, 12, 0, tzinfo=UTC),
    person="Ilse",
    bay="STN",
    grade_id="304",
    mass_g=12_400,
    pieces=1,
    line="12.4 304 ; [b]bent[/b]",
    tag=None,
    note="",
    sureness="leaning",
    is_override=False,
    is_void=False,
    is_held=False,
)


@pytest.fixture(scope="module")
def yard() -> Yard:
    """The demo yard."""
    return load_yard(DEMO_YARD, load())


@pytest.mark.parametrize("width", [34, 58, 88])
def test_a_piece_tells_weight_bay_name_and_as_much_more_as_has_room(width: int) -> None:
    """Every width has weight, bay and name, in just so many cells; the line is never markup."""
    row = piece_row(PIECE, width, "kg").plain

    assert len(row) == width
    assert "12.40 STN" in row and " 304 " in row
    assert ("leaning" in row) == (width in (34, 88)), "where there is room beside the line, or no line"
    assert ("[b]bent[/b]" in row) == (width > 50)


def test_a_void_and_a_held_piece_say_so_in_a_word() -> None:
    """Not by colour or a stroke alone."""
    for width in (34, 58, 88):
        assert "VOID" in piece_row(replace(PIECE, is_void=True), width, "kg").plain
        assert "T1-H7" in piece_row(replace(PIECE, is_held=True, tag="T1-H7"), width, "kg").plain
        assert "T1-H1234" in piece_row(replace(PIECE, is_held=True, tag="T1-H1234"), width, "kg").plain


def test_a_hold_tells_what_it_waits_for_once() -> None:
    """What stands in the line already is not said before it."""
    held = replace(PIECE, tag="T1-H7", is_held=True, waits_for="a reading")

    assert "a reading; 12.4 304" in held_row(held, 60, "kg").plain
    assert held_row(replace(held, waits_for="[b]bent[/b]"), 60, "kg").plain.count("bent") == 1


def bay_of(yard: Yard, mass_g: float, *limits: LimitState) -> BayChemistry:
    """Return a bay of that weight with limits."""
    return BayChemistry(
        bay=yard.bay("STN"), mass_g=mass_g, pieces=9, refused_share=0.0, composition=METAL, limits=limits
    )


def test_the_bay_nearest_to_a_limit_stands_first(yard: Yard) -> None:
    """By how much of its tightest limit is used up; too small ones last, those without limits not at all."""
    of_bays = {
        "AAA": bay_of(yard, 900_000.0, KEPT),
        "BBB": bay_of(yard, 900_000.0, KEPT, BROKEN),
        "CCC": bay_of(yard, 900_000.0, AT_RISK, KEPT),
        "DDD": bay_of(yard, 1000.0, BROKEN),
        "EEE": bay_of(yard, 900_000.0),
    }
    lines = [line.plain for line in nearest_limits(of_bays, yard.thresholds, 60, 9)]

    assert [line.split()[0] for line in lines[2:]] == ["BBB", "CCC", "AAA", "DDD"]
    assert "BROKEN" in lines[2] and "P <=0.5" in lines[2] and "too little" in lines[5]
    assert all(len(line) <= 60 for line in lines)
    assert len(nearest_limits(of_bays, yard.thresholds, 60, 4)) == 4
    assert nearest_limits(of_bays, yard.thresholds, 60, 3) == []


@pytest.mark.parametrize(("height", "ends"), [(1, "and 5 more"), (3, "and 3 more"), (5, "T1-H1 ")])
def test_a_list_of_holds_says_how_many_it_leaves_out(height: int, ends: str) -> None:
    """The newest first; the last row counts the others where there is no room for all."""
    held = tuple(replace(PIECE, tag=f"T1-H{number}", is_held=True) for number in range(1, 6))
    [rest] = [one for one in shown_at_rest(None, held, (), "kg") if not one.is_empty]
    lines = [line.plain for line in rest.lines(40, height)]

    assert len(lines) == height and lines[-1].startswith(ends)
