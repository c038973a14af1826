"""The sums of a run, reckoned from its rows."""

from dataclasses import dataclass

from console.ledger.rows.connection import Readable, one_view
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.reading import last_row, rows_where
from console.ledger.rows.rows import BayTotal, DrawDown, Row, Run, Tally, Ticket
from console.ledger.rows.runs import latest_run, open_run_of, run_by_id, runs
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.piece_state import (
    CORRECTIONS,
    piece_state,
    piece_states,
    remarkable_pieces,
    waiting_pieces,
)
from console.ledger.views.standing import Mark, Standing, is_void

__all__ = [
    "latest_run",
    "open_run_of",
    "piece_state",
    "piece_states",
    "remarkable_pieces",
    "runs",
    "tally",
    "waiting_pieces",
]


@dataclass(slots=True)
class _Sum:
    """Running sums of one bay."""

    first_seq: int
    pieces: int = 0
    mass_g: int = 0
    entries: int = 0

    def add(self, entries: int, pieces: int, mass_g: int) -> None:
        """Add entries with their pieces and mass; negative to take away."""
        self.entries += entries
        self.pieces += pieces
        self.mass_g += mass_g


def tally(source: Readable, run_id: str) -> Tally:
    """Return the sums of a run.

    Raises:
        LedgerRefusal: There is no such run.
    """
    with one_view(source):
        run = run_by_id(source, run_id)
        if run is None:
            raise LedgerRefusal(f"There is no run {run_id} in this ledger.")
        sums = _sums_as_entered(source, run_id)
        void_ids = _correct_sums(source, sums, run_id)
        last = last_row(source)
        others = rows_where(
            source, "run_id = ? AND kind IN ('open', 'take-over', 'ticket', 'note', 'draw-down')", (run_id,)
        )
        holds = tuple(waiting_pieces(source, run_id))
    standing = [row for row in others if row.row_id not in void_ids]
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
        late_corrections=_late_corrections(source, run) if run.is_closed else 0,
    )


def _late_corrections(source: Readable, run: Run) -> int:
    """Return how many rows of a closed run were corrected after it was closed."""
    with told_plainly(source.path):
        found = source.connection.execute(
            f"SELECT count(DISTINCT refers) FROM ledger WHERE run_id = ? AND {CORRECTIONS} "
            "AND json_extract(body, '$.after_close')",
            (run.run_id,),
        ).fetchone()
    return int(found[0])


def _sums_as_entered(source: Readable, run_id: str) -> dict[str, _Sum]:
    """Return the sums per bay before any correction, from the index alone."""
    with told_plainly(source.path):
        found = source.connection.execute(
            "SELECT bay, min(seq), sum(pieces), sum(mass_g), count(*) FROM ledger INDEXED BY ledger_by_run "
            "WHERE run_id = ? AND kind = 'piece' GROUP BY bay",
            (run_id,),
        )
        return {bay: _Sum(*sums) for bay, *sums in found}


def _correct_sums(source: Readable, sums: dict[str, _Sum], run_id: str) -> set[str]:
    """Take every corrected piece out as it was entered and put it in as it stands; return what is void."""
    marks: dict[str, list[Mark]] = {}
    corrected = f"SELECT refers FROM ledger WHERE run_id = ? AND {CORRECTIONS}"
    with told_plainly(source.path):
        for refers, *mark in source.connection.execute(
            "SELECT refers, kind, bay, grade_id, mass_g, pieces, tag FROM ledger "
            f"WHERE run_id = ? AND {CORRECTIONS} ORDER BY seq",
            (run_id,),
        ):
            marks.setdefault(refers, []).append(Mark(*mark))
        pieces = source.connection.execute(
            "SELECT row_id, seq, bay, grade_id, mass_g, pieces FROM ledger "
            f"WHERE row_id IN ({corrected}) AND kind = 'piece'",
            (run_id,),
        ).fetchall()
    for row_id, seq, bay, grade_id, mass_g, count in pieces:
        standing = Standing(bay, grade_id, mass_g, count, None, False)
        for mark in marks[row_id]:
            standing.correct(mark)
        sums[bay].add(-1, -count, -mass_g)
        if not standing.is_void:
            now = sums.setdefault(standing.bay, _Sum(seq))
            now.first_seq = min(now.first_seq, seq)
            now.add(1, standing.pieces, standing.mass_g)
    return {row_id for row_id, of_row in marks.items() if is_void(of_row)}


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
    """Return the draw-down that a row holds."""
    return DrawDown(
        row_id=row.row_id,
        at_utc=row.at_utc,
        person=row.person,
        bay=row.bay or "",
        mass_g=row.mass_g or 0,
        reason=row.body.get("reason", ""),
        tag=row.body.get("bale", ""),
    )
