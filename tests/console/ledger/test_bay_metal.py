"""What lies in the bays by the ledger: pieces, corrections and draw-downs come together."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import PieceEntry
from console.ledger.views.bay_metal import bales_before, bay_metal
from console.yard.yard import Bay, Scale, Yard
from grade_library.library import GradeLibrary, load
from tests.console.ledger.clock import open_ledger


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    return load()


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    scale = Scale(name="bench", division_g=10, largest_g=60_000)
    return Yard(
        folder=tmp_path,
        name="Lowfield Yard",
        weight_unit="kg",
        currency="EUR",
        bays=(
            Bay(code="ALO", name="alu", accepts=(), grade_ids=frozenset({"6061", "6063"})),
            Bay(code="ACU", name="alu with copper", accepts=(), grade_ids=frozenset({"2024"})),
            Bay(code="HLD", name="hold", accepts=(), grade_ids=frozenset(), is_hold=True),
        ),
        people=("Ada",),
        piece_scale=scale,
        ticket_scale=scale,
    )


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    with open_ledger(tmp_path / "yard.sqlite3") as opened:
        opened.open_run("Ada")
        yield opened


def tally(ledger: Ledger, grade: str, mass_g: int, bay: str = "ALO", **more: object) -> str:
    entry = PieceEntry(
        bay=bay,
        grade_id=grade,
        mass_g=mass_g,
        pieces=1,
        line="",
        evidence={"candidates": [{"grade": grade, "probability": 1.0}]},
        **more,
    )
    return ledger.add_piece(entry, "Ada").row_id


def copper(ledger: Ledger, yard: Yard, library: GradeLibrary, bay: str = "ALO") -> float:
    return bay_metal(ledger, yard, library)[bay].composition()["Cu"].wt_pct


def mass(ledger: Ledger, yard: Yard, library: GradeLibrary, bay: str = "ALO") -> float:
    return bay_metal(ledger, yard, library)[bay].mass_g


def test_pieces_of_all_runs_lie_there(ledger: Ledger, yard: Yard, library: GradeLibrary) -> None:
    """A bay holds the pieces of every run, and only its own."""
    tally(ledger, "6061", 1000)
    ledger.close_run("Ada")
    ledger.open_run("Ada")
    tally(ledger, "6063", 500)

    assert mass(ledger, yard, library) == 1500.0
    assert mass(ledger, yard, library, "ACU") == 0.0


def test_a_moved_piece_lies_where_it_was_moved(ledger: Ledger, yard: Yard, library: GradeLibrary) -> None:
    """A moved piece takes its chemistry along."""
    tally(ledger, "6061", 1000)
    wrong = tally(ledger, "2024", 1000)
    assert copper(ledger, yard, library) > 2.0

    ledger.move(wrong, "ACU", "is 2024", "Ada")

    assert copper(ledger, yard, library) < 0.4
    assert mass(ledger, yard, library, "ACU") == 1000.0


def test_a_void_piece_is_gone_and_a_reweighed_one_counts_anew(
    ledger: Ledger, yard: Yard, library: GradeLibrary
) -> None:
    """A void piece is out of the bay, a mended weight is in it as mended."""
    one, two = tally(ledger, "6061", 1000), tally(ledger, "6061", 2000)

    ledger.void(one, "twice", "Ada")
    ledger.reweigh(two, 2500, "slip", "Ada")

    assert mass(ledger, yard, library) == 2500.0


def test_a_resolved_piece_is_what_it_was_found_to_be(
    ledger: Ledger, yard: Yard, library: GradeLibrary
) -> None:
    """A resolved hold counts by what was found, not by what it was held as."""
    held = tally(ledger, "2024", 1000, bay="HLD", tag="H001")

    found = {"candidates": [{"grade": "6063", "probability": 1.0}]}
    ledger.resolve(held, "ALO", "read", "Ada", grade_id="6063", evidence=found)

    assert copper(ledger, yard, library) < 0.2
    assert mass(ledger, yard, library, "HLD") == 0.0


def test_a_draw_down_takes_its_part_of_what_lay_there(
    ledger: Ledger, yard: Yard, library: GradeLibrary
) -> None:
    """Half of the clean metal goes before the copper comes, so what stays is rich in copper."""
    tally(ledger, "6061", 10_000)
    ledger.draw_down("ALO", 5_000, "Ada", reason="bale")
    tally(ledger, "2024", 5_000)

    both = bay_metal(ledger, yard, library)["ALO"]

    assert both.mass_g == pytest.approx(10_000.0)
    assert both.composition()["Cu"].wt_pct > 2.0
    assert both.pieces == pytest.approx(1.5)


@pytest.mark.parametrize(("mass_g", "body"), [(10_500, {}), (9_700, {"emptied": True})])
def test_a_bay_drawn_empty_forgets_what_lay_there(
    ledger: Ledger, yard: Yard, library: GradeLibrary, mass_g: int, body: dict[str, object]
) -> None:
    """Whether the scale showed more than was tallied, or the sorter said that nothing was left."""
    tally(ledger, "2024", 10_000)
    ledger.draw_down("ALO", mass_g, "Ada", reason="load", body=body)
    tally(ledger, "6063", 1000)

    assert mass(ledger, yard, library) == 1000.0
    assert copper(ledger, yard, library) < 0.2


def test_a_voided_draw_down_never_was(ledger: Ledger, yard: Yard, library: GradeLibrary) -> None:
    """A voided draw-down leaves the bay as it was, and its tag is not given again."""
    tally(ledger, "6061", 1000)
    row = ledger.draw_down("ALO", 1000, "Ada", reason="bale")

    ledger.void(row.row_id, "wrong bay", "Ada")

    assert mass(ledger, yard, library) == 1000.0
    assert bales_before(ledger, "ALO", "T1") == 1
    assert bales_before(ledger, "ACU", "T1") == 0
