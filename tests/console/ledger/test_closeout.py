"""The tally against the tickets: what differs, and how far it honestly may."""

from dataclasses import replace
from math import sqrt
from pathlib import Path

import pytest

from console.ledger.acts.closeout import difference, differences_by_load
from console.ledger.acts.scale_tables import ToleranceTable, largest_error_g
from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import Tally
from console.ledger.views.piece_state import piece_states
from console.ledger.views.tally import tally
from console.yard.yard import Bay, Scale, Yard
from tests.console.ledger.clock import brass


def yard(*, unit: str = "kg", bench_g: int = 10, ticket_g: int = 1000) -> Yard:
    """Return a yard with two scales."""
    hold = Bay(code="HO", name="hold", accepts=(), grade_ids=frozenset(), is_hold=True)
    return Yard(
        folder=Path("."),
        name="Test Yard",
        weight_unit=unit,
        currency="EUR",
        bays=(hold,),
        people=("Ada",),
        piece_scale=Scale(name="bench", division_g=bench_g, largest_g=60_000),
        ticket_scale=Scale(name="platform", division_g=ticket_g, largest_g=3_000_000),
    )


def filled(ledger: Ledger, *, net_g: int = 120_000, tare_g: int = 500_000) -> Tally:
    """Return the sums of 100 pieces of 1.2 kg with one ticket."""
    with ledger.act():
        for _ in range(100):
            ledger.add_piece(brass(1200), "Ada")
    ledger.ticket(tare_g + net_g, tare_g, "Ada")
    return tally(ledger, "T1-0001")


def test_tolerance_is_twice_the_root_sum_of_squares(ledger: Ledger) -> None:
    """Gross and tare by the table, evenly spread, and the rounding of every entry, added as squares."""
    gap = difference(filled(ledger), yard(bench_g=600))

    # 620 kg and 500 kg on divisions of 1 kg: above 500 divisions 2 kg, up to 500 divisions 1 kg.
    expected_g = 2 * sqrt(2000**2 / 3 + 1000**2 / 3 + 100 * 600**2 / 12)
    assert gap.tolerance_g == round(expected_g)
    assert (gap.tally_g, gap.net_g, gap.difference_g, gap.is_inside) == (120_000, 120_000, 0, True)
    assert [part.source for part in gap.parts][:2] == [ToleranceTable.R76_III.value] * 2


@pytest.mark.parametrize(("off_g", "is_inside"), [(2500, True), (-2500, True), (2700, False), (-2700, False)])
def test_difference_is_inside_up_to_the_tolerance(ledger: Ledger, off_g: int, is_inside: bool) -> None:
    """Above 2.58 kg either way (divisions of 1 kg, 620 and 500 kg), the difference is outside."""
    gap = difference(filled(ledger, net_g=120_000 - off_g), yard())

    assert gap.difference_g == off_g
    assert gap.is_inside is is_inside


def test_without_ticket_nothing_is_inside(ledger: Ledger) -> None:
    """A run without a ticket was compared with nothing, which is not the same as agreeing."""
    gap = difference(tally(ledger, "T1-0001"), yard())

    assert (gap.has_ticket, gap.is_inside, gap.difference_g) == (False, False, 0)


def test_moisture_and_dirt_are_taken_off(ledger: Ledger) -> None:
    """The tally is compared with the metal on the ticket, not with its water and dirt."""
    ledger.add_piece(brass(9_800), "Ada")
    ledger.ticket(11_000, 500, "Ada", dirt_g=500, moisture_pct=2.0)

    gap = difference(tally(ledger, "T1-0001"), yard())

    assert (gap.net_g, gap.difference_g) == (9_800, 0)


def test_pounds_call_for_the_american_table(ledger: Ledger) -> None:
    """A yard that weighs in pounds or short tons is judged by Handbook 44, others by R 76."""
    sums = filled(ledger, net_g=4_500_000, tare_g=0)

    in_pounds, in_kg = difference(sums, yard(unit="lb")), difference(sums, yard())

    assert in_pounds.parts[0].standard_g == pytest.approx(5000 / sqrt(3))
    assert in_kg.parts[0].standard_g == pytest.approx(3000 / sqrt(3))


@pytest.mark.parametrize(("load_g", "division_g"), [(-1, 10), (10, 0), (10, -5)])
def test_impossible_loads_are_refused(load_g: int, division_g: int) -> None:
    """A negative load and a division that is not positive have no tolerance."""
    with pytest.raises(ValueError, match="above 0"):
        largest_error_g(load_g, division_g, ToleranceTable.R76_III)


def test_figures_are_kept_with_the_close_out(ledger: Ledger) -> None:
    """The close row carries the figures that were signed, whatever is corrected later."""
    gap = difference(filled(ledger), yard())

    row = ledger.close_run("Ada", figures=gap.as_figures())

    assert row.body["figures"] == {
        "net_g": 120_000,
        "tally_g": 120_000,
        "difference_g": 0,
        "tolerance_g": gap.tolerance_g,
        "is_inside": True,
    }


def test_loads_are_compared_with_their_own_tickets(ledger: Ledger) -> None:
    """Two loads that are off in opposite ways are each found, though the run as a whole agrees."""
    for load, mass_g, net_g in (("L1", 50_000, 40_000), ("l2", 30_000, 40_000)):
        ledger.add_piece(replace(brass(mass_g), supplier="Holt", load=load), "Ada")
        ledger.ticket(200_000 + net_g, 200_000, "Ada", supplier="HOLT", load=load.upper())
    ledger.add_piece(brass(700), "Ada")
    sums = tally(ledger, "T1-0001")

    found = differences_by_load(sums.tickets, piece_states(ledger, "T1-0001"), yard())

    assert difference(sums, yard()).is_inside
    assert [(one.load.upper(), one.difference.difference_g, one.difference.is_inside) for one in found] == [
        ("L1", 10_000, False),
        ("L2", -10_000, False),
        ("", 700, False),
    ]
    assert not found[2].difference.has_ticket


def test_close_out_keeps_the_tags_that_are_carried_over(ledger: Ledger) -> None:
    """Pieces that still wait when the run is closed are named in its close row."""
    ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Ada")
    settled = ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Ada")
    ledger.resolve(settled.row_id, "YB", "scratched", "Ada", grade_id=None)

    assert ledger.close_run("Ada").body["carried_holds"] == ["T1-H1"]


def test_no_tag_is_given_twice(ledger: Ledger) -> None:
    """It counts on from the highest on a piece and from the highest that is known from elsewhere."""
    ledger.add_piece(brass(bay="HO", tag="T9-H4"), "Ada")
    assert ledger.next_tag() == "T1-H5"

    ledger._runs.tags_given = 7
    assert ledger.next_tag() == "T1-H8"
