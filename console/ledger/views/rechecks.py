"""Pieces that were drawn to be checked again: which still wait, and what came of the others."""

from dataclasses import dataclass

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.rows import PieceState
from console.ledger.rows.runs import OF_ALL_RUNS, Where, of_run
from console.ledger.views.piece_state import standing_rows, standing_where, state_of
from console.yard.rechecks.confusion import Recheck

LOOKED_AT = f"kind = 'recheck' AND {OF_ALL_RUNS}"
"""SQL that is true of every second look."""
DRAWN = "json_extract(body, '$.recheck') IS NOT NULL"
"""SQL that is true of the row of a piece that was drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueRecheck:
    """A piece that was set aside; what it was called stays unsaid."""

    mark: str
    """Written on it: "T1-K57"."""
    piece: PieceState


def due_rechecks(source: LedgerSource, run_id: str) -> list[DueRecheck]:
    """Return the pieces of a run that were drawn and not looked at again yet, oldest first; void ones not."""
    with one_view(source):
        done = {str(row.body.get("piece")) for row in standing_rows(source, LOOKED_AT)}
        drawn = standing_where(source, Where(f"run_id = ? AND {DRAWN}", (run_id,)), of_run(run_id))
    return [
        DueRecheck(mark=str(one.entered.body.get("recheck")), piece=state_of(one))
        for one in drawn
        if not one.is_void and not one.is_held and one.entered.row_id not in done
    ]


def rechecks_done(source: LedgerSource) -> list[Recheck]:
    """Return every second look of all runs that stands, oldest first."""
    return [
        Recheck(
            person=str(row.body.get("by", "")),
            placed=str(row.body.get("placed", "")),
            found=str(row.body.get("found", "")),
        )
        for row in standing_rows(source, LOOKED_AT)
    ]


def rechecks_drawn(source: LedgerSource) -> int:
    """Return how many pieces were drawn in all runs, void ones not counted."""
    drawn = standing_where(source, Where(DRAWN))
    return sum(not one.is_void for one in drawn)
