"""A bale taken out of a bay, and back from its row."""

import json

import pytest

from console.yard.chemistry.bale import bale_body, bale_from, bale_of, next_bale_tag
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content
from console.yard.yard import Bay
from grade_library.grade import Limit
from grade_library.library import GradeLibrary

BAY = Bay(
    code="ALO",
    name="alu",
    accepts=("6xxx",),
    grade_ids=frozenset({"6061"}),
    chemistry={"Cu": Limit(high=0.40)},
)


@pytest.fixture
def sums(library: GradeLibrary) -> BaySums:
    found = BaySums.empty(library)
    for _ in range(8):
        found = found.plus(Content(mass_g=10_000.0, shares={"6061": 0.9, "6063": 0.1}), BAY)
    return found


def test_a_part_of_the_bay(sums: BaySums) -> None:
    """A bale is its part of the bay: weight, pieces, refusals, and less sure a composition."""
    bale = bale_of(BAY, sums, 20_000, "T1-ALO-0001")

    assert (bale.mass_g, bale.pieces, bale.empties) == (20_000, 2, False)
    assert (bale.stock_before_g, bale.stock_after_g) == (80_000, 60_000)
    assert bale.refused_share == pytest.approx(0.1)
    assert bale.composition["Cu"].sigma > sums.composition()["Cu"].sigma
    assert [one.symbol for one in bale.limits] == ["Cu"]


@pytest.mark.parametrize(("mass_g", "empties"), [(80_500, False), (79_000, True)])
def test_everything_goes(sums: BaySums, mass_g: int, empties: bool) -> None:
    """More than the sums on the scale, or said to be everything: nothing stays, all pieces go."""
    bale = bale_of(BAY, sums, mass_g, "T1-ALO-0002", empties=empties)

    assert bale.empties
    assert (bale.pieces, bale.stock_after_g, bale.mass_g) == (8, 0, mass_g)


def test_a_bale_out_of_a_bay_that_the_ledger_thinks_empty(library: GradeLibrary) -> None:
    """It can be weighed and tagged; what it is made of is not known."""
    bale = bale_of(BAY, BaySums.empty(library), 500, "T1-ALO-0003")

    assert (bale.pieces, bale.composition, bale.limits) == (0, {}, ())


def test_a_bale_goes_to_its_row_and_back(sums: BaySums) -> None:
    """A bale read back from its row is the bale that was written."""
    bale = bale_of(BAY, sums, 20_000, "T1-ALO-0001")

    back = bale_from("ALO", 20_000, json.loads(json.dumps(bale_body(bale))))

    assert back is not None
    assert (back.tag, back.pieces, back.stock_after_g) == (bale.tag, bale.pieces, bale.stock_after_g)
    assert back.composition["Cu"].wt_pct == pytest.approx(bale.composition["Cu"].wt_pct, abs=1e-4)
    assert back.limits[0].chance_kept == pytest.approx(bale.limits[0].chance_kept, abs=1e-4)


def test_an_older_draw_down_holds_no_bale() -> None:
    """A row without a bale gives none."""
    assert bale_from("ALO", 1000, {"reason": "to the buyer"}) is None


def test_tags_count_on() -> None:
    """Tags of bales count on from those that were given."""
    assert next_bale_tag("T2", "ALO", 0) == "T2-ALO-0001"
    assert next_bale_tag("T2", "ALO", 41) == "T2-ALO-0042"
