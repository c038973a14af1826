"""The sums of a run, reckoned from its rows."""

from dataclasses import replace

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import last_row, rows_where
from console.ledger.rows.rows import BayTotal, DrawDown, Row, RowKind, Tally, Ticket
from console.ledger.rows.runs import of_run, run_by_id
from console.ledger.views.piece_state import (
    waiting_pieces,
)
from console.ledger.views.sums import corrected, sums_by


def tally(source: LedgerSource, run_id: str) -> Tally:
    """Return the sums of a run.

    Raises:
        LedgerRefusal: There is no such run.
    """
    with one_view(source):
        run = run_by_id(source, run_id)
        if run is None:
            raise LedgerRefusal(f"There is no run {run_id} in this ledger.")
        changed = corrected(source, of_run(run_id))
        sums = sums_by(source, "bay", RowKind.PIECE, of_run(run_id), changed)
        last = last_row(source)
        others = rows_where(
            source, "run_id = ? AND kind IN ('open', 'take-over', 'ticket', 'note', 'draw-down')", (run_id,)
        )
        holds = tuple(waiting_pieces(source, run_id))
    standing = [row for row in others if row.row_id not in changed or not changed[row.row_id].is_void]
    in_order = sorted(sums.items(), key=lambda item: item[1].first_seq)
    bays = tuple(
        BayTotal(bay=bay, pieces=one.pieces, mass_g=one.mass_g, entries=one.entries)
        for bay, one in in_order
        if one.pieces > 0
    )
    return Tally(
        run=run,
        pieces=sum(bay.pieces for bay in bays),
        mass_g=sum(bay.mass_g for bay in bays),
        entries=sum(bay.entries for bay in bays),
        last_seq=last.seq if last else 0,
        last_hash=last.row_hash if last else "",
        bays=bays,
        holds=holds,
        tickets=tuple(ticket_of(row) for row in standing if row.kind == "ticket"),
        draw_downs=tuple(_draw_down_of(row) for row in standing if row.kind == "draw-down"),
        take_overs=tuple(row.person for row in standing if row.kind in ("open", "take-over")),
        notes=tuple(str(row.body["text"]) for row in standing if row.kind == "note"),
        late_corrections=sum(one.is_late for one in changed.values()),
    )


def tally_since(source: LedgerSource, before: Tally) -> Tally:
    """Return the sums of the run that was tallied before, as `tally` gives them now.

    Where nothing came but pieces into bays that have some, these are added to what was: a piece costs as much
    late in a long run as early in it. Whatever else came, all is reckoned anew.

    Raises:
        LedgerRefusal: There is no such run.
    """
    run_id = before.run.run_id
    with one_view(source):
        rows = rows_where(source, "seq > ?", (before.last_seq,))
        bays = {bay.bay: bay for bay in before.bays}
        if not all(
            row.kind == RowKind.PIECE and row.run_id == run_id and row.tag is None and row.bay in bays
            for row in rows
        ):
            return tally(source, run_id)
    for row in rows:
        was = bays[row.bay or ""]
        bays[was.bay] = replace(
            was,
            pieces=was.pieces + (row.pieces or 0),
            mass_g=was.mass_g + (row.mass_g or 0),
            entries=was.entries + 1,
        )
    return replace(
        before,
        bays=tuple(bays.values()),
        pieces=sum(bay.pieces for bay in bays.values()),
        mass_g=sum(bay.mass_g for bay in bays.values()),
        entries=sum(bay.entries for bay in bays.values()),
        last_seq=rows[-1].seq if rows else before.last_seq,
        last_hash=rows[-1].row_hash if rows else before.last_hash,
    )


def ticket_of(row: Row) -> Ticket:
    """Return the ticket that a row holds."""
    body = row.body
    return Ticket(
        row_id=row.row_id,
        gross_g=body["gross_g"],
        tare_g=body["tare_g"],
        note=body.get("note", ""),
        moisture_pct=body.get("moisture_pct", 0.0),
        dirt_g=body.get("dirt_g", 0),
        load=body.get("load", ""),
        supplier=body.get("supplier", ""),
    )


def _draw_down_of(row: Row) -> DrawDown:
    return DrawDown(
        row_id=row.row_id,
        at_utc=row.at_utc,
        person=row.person,
        bay=row.bay or "",
        mass_g=row.mass_g or 0,
        reason=row.body.get("reason", ""),
        tag=row.body.get("bale", ""),
    )
