"""Runs: opened once, taken over by name, closed for good."""

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import latest_run, open_run_of, run_by_id, runs
from console.ledger.views.tally import tally
from tests.console.ledger.clock import brass


def test_take_over_changes_who_works_the_run(ledger: Ledger) -> None:
    """After a take-over the run is worked by the other person, and the tally names both in turn."""
    ledger.take_over("Ben")

    run = open_run_of(ledger)
    assert run is not None
    assert (run.opened_by, run.person) == ("Ada", "Ben")
    assert tally(ledger, run.run_id).take_overs == ("Ada", "Ben")
    with pytest.raises(LedgerRefusal, match="works run T1-0001 already"):
        ledger.take_over("Ben")


def test_only_one_run_is_open(ledger: Ledger) -> None:
    """A second run is opened only after the first was closed."""
    with pytest.raises(LedgerRefusal, match="open already, worked by Ada"):
        ledger.open_run("Ben")

    ledger.close_run("Ada", explanation="water", figures={"net_g": 5})
    assert open_run_of(ledger) is None
    ledger.open_run("Ben")

    assert [run.run_id for run in runs(ledger)] == ["T1-0001", "T1-0002"]
    closed = run_by_id(ledger, "T1-0001")
    assert closed is not None
    assert (closed.is_closed, closed.closed_by, closed.explanation) == (True, "Ada", "water")
    newest = latest_run(ledger)
    assert newest is not None
    assert newest.run_id == "T1-0002"


@pytest.mark.parametrize(
    "act",
    [
        lambda ledger: ledger.add_piece(brass(), "Ada"),
        lambda ledger: ledger.note("hello", "Ada"),
        lambda ledger: ledger.ticket(2000, 1000, "Ada"),
        lambda ledger: ledger.draw_down("YB", 5, "Ada"),
        lambda ledger: ledger.take_over("Ben"),
        lambda ledger: ledger.close_run("Ada"),
        lambda ledger: ledger.append(RowKind.CHECK, person="Ada", body={"sample": "C1"}),
    ],
)
def test_closed_run_takes_nothing_more(ledger: Ledger, act: object) -> None:
    """Once the run is closed, every act but a correction is refused until the next run is opened."""
    ledger.close_run("Ada")

    with pytest.raises(LedgerRefusal, match="No run is open"):
        act(ledger)  # type: ignore[operator]


@pytest.mark.parametrize(("gross_g", "tare_g"), [(1000, 1000), (1000, 1500), (1000, -1), (0, 0)])
def test_ticket_weights_must_make_sense(ledger: Ledger, gross_g: int, tare_g: int) -> None:
    """Gross is above tare, and tare is not negative."""
    with pytest.raises(LedgerRefusal, match="must be above tare"):
        ledger.ticket(gross_g, tare_g, "Ada")


def test_a_refused_ticket_speaks_the_unit_of_the_yard(ledger: Ledger) -> None:
    """Pounds where the yard weighs in pounds."""
    with pytest.raises(LedgerRefusal, match=r"Gross 2\.20 lb must be above tare 4\.41 lb"):
        ledger.ticket(1000, 2000, "Ada", unit="lb")


@pytest.mark.parametrize(
    ("moisture_pct", "dirt_g"), [(-0.1, 0), (100.0, 0), (float("nan"), 0), (0.0, -1), (0.0, 500)]
)
def test_ticket_deductions_must_make_sense(ledger: Ledger, moisture_pct: float, dirt_g: int) -> None:
    """Moisture lies from 0 to below 100 %, dirt below the net weight."""
    with pytest.raises(LedgerRefusal, match="below the net"):
        ledger.ticket(1500, 1000, "Ada", moisture_pct=moisture_pct, dirt_g=dirt_g)


def test_void_tickets_notes_and_draw_downs_leave_the_tally(ledger: Ledger) -> None:
    """A mistyped ticket, note or draw-down is voided by a row, and can be taken back."""
    wrong = ledger.ticket(9000, 1000, "Ada")
    right = ledger.ticket(
        8000, 1000, "Ada", moisture_pct=2.0, dirt_g=500, supplier="Holt", load="L7", note="A 17"
    )
    note = ledger.note("belt slips", "Ada")
    drawn = ledger.draw_down("YB", 3000, "Ada", reason="bale 4")

    ledger.void(wrong.row_id, "mistyped", "Ada")
    ledger.void(note.row_id, "mended", "Ada")
    ledger.void(drawn.row_id, "stayed here", "Ada")
    sums = tally(ledger, "T1-0001")
    assert [ticket.row_id for ticket in sums.tickets] == [right.row_id]
    assert (sums.notes, sums.draw_downs) == ((), ())
    ledger.unvoid(note.row_id, "it slips again", "Ada")

    sums = tally(ledger, "T1-0001")
    assert sums.notes == ("belt slips",)
    (ticket,) = sums.tickets
    assert (ticket.net_g, ticket.deduction_g, ticket.clean_g) == (7000, 630, 6370)
    assert (ticket.supplier, ticket.load, ticket.note) == ("Holt", "L7", "A 17")
