"""A thing that is no alloy goes the way of a piece: placed, tallied, reckoned into its bay, handed over."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Desk:
    """A desk with two electric motors tallied into the bay that takes what bears copper."""
    desk = Desk.open(yard_folder, now=clock)
    desk.bays.book.read()
    for line in ("40 electric motor", "10 Elektromotoren"):
        desk.tally(desk.consider(line))
    return desk


def test_a_material_is_tallied_into_the_bay_that_takes_it(desk: Desk) -> None:
    """Both names are one thing, and the rule "material: copper-bearing units" takes it."""
    [total] = desk.sums().bays

    assert (total.bay, total.pieces, total.mass_g) == ("MTR", 2, 50_000)
    assert {piece.grade_id for piece in desk.review.pieces()} == {"electric motor"}


def test_a_material_counts_in_the_chemistry_of_its_bay_by_its_shares(desk: Desk) -> None:
    """7 to 9 % copper, 80 to 92 % iron and 1 to 5 % aluminium: the middle of each, and no certainty."""
    balances = desk.bays.book.sums()["MTR"].composition()

    assert {symbol: round(balances[symbol].wt_pct, 6) for symbol in ("Cu", "Fe", "Al")} == {
        "Cu": 8.0,
        "Fe": 86.0,
        "Al": 3.0,
    }
    assert all(balances[symbol].sigma > 0.4 for symbol in ("Cu", "Fe", "Al"))


def test_a_material_stands_in_the_handover_with_its_weight(desk: Desk) -> None:
    """The next sorter reads the bay and the weight of what was put there."""
    path = desk.closing.close_run("weighed on the yard scale").made

    assert path is not None
    [line] = [line for line in path.read_text("utf-8").splitlines() if line.lstrip().startswith("MTR")]
    assert "50.00" in line and "motors and units" in line
