"""Tickets, close-out and handover of a run."""

from datetime import datetime
from pathlib import Path

from console.desk.refusal import DeskRefusal
from console.entry.cleaning import clean
from console.entry.mass import MassError, parse_mass_g
from console.ledger.closeout import Difference, difference, differences_by_load
from console.ledger.connection import Readable
from console.ledger.piece_state import piece_states, remarkable_pieces, waiting_pieces
from console.ledger.rows import Row
from console.ledger.stock import stock
from console.ledger.store import Ledger
from console.ledger.tally import tally
from console.reports.handover import HandoverReport, as_text, handover
from console.yard.yard import Yard


def add_ticket(ledger: Ledger, yard: Yard, person: str, gross_text: str, tare_text: str, note: str) -> Row:
    """Write a ticket from weights as typed.

    Raises:
        DeskRefusal: A weight cannot be read.
        LedgerRefusal: Gross is not above tare.
    """
    try:
        gross_g = parse_mass_g(gross_text, yard.weight_unit)
        tare_g = parse_mass_g(tare_text or "0", yard.weight_unit, may_be_zero=True)
    except MassError as error:
        raise DeskRefusal(str(error)) from error
    return ledger.ticket(gross_g, tare_g, person, note=clean(note))


def handover_of(source: Readable, run_id: str, yard: Yard, at: datetime) -> HandoverReport:
    """Return the handover of a run as its rows tell it now; times are shown in the zone of this computer."""
    sums = tally(source, run_id)
    return handover(
        sums,
        remarkable_pieces(source, run_id),
        yard,
        difference(sums, yard),
        at.astimezone(),
        earlier_holds=waiting_pieces(source),
        stock=stock(source),
        loads=differences_by_load(sums.tickets, piece_states(source, run_id), yard),
    )


def close_run(ledger: Ledger, yard: Yard, person: str, run_id: str, explanation: str, at: datetime) -> Path:
    """Close the run and write its handover as a text file into the yard's folder; return the file.

    Raises:
        DeskRefusal: No ticket was entered, or the difference is outside its tolerance and not explained.
    """
    sums = tally(ledger, run_id)
    gap = difference(sums, yard)
    _refuse_unexplained(gap, explanation, has_tickets=bool(sums.tickets), has_pieces=bool(sums.pieces))
    ledger.close_run(person, explanation=clean(explanation), figures=gap.as_figures())
    file = yard.folder / f"handover-{run_id}.txt"
    file.write_text(as_text(handover_of(ledger, run_id, yard, at)) + "\n", encoding="utf-8")
    return file


def _refuse_unexplained(gap: Difference, explanation: str, *, has_tickets: bool, has_pieces: bool) -> None:
    """Refuse a close-out that hides a difference."""
    said = bool(explanation.strip())
    if has_pieces and not has_tickets and not said:
        raise DeskRefusal("No ticket entered: enter gross and tare, or say in words why there is none.")
    if has_tickets and not gap.is_inside and not said:
        raise DeskRefusal(
            f"The difference of {gap.difference_g / 1000:.2f} kg is outside the tolerance of "
            f"{gap.tolerance_g / 1000:.2f} kg: explain it in words, or mend a ticket or a piece."
        )
