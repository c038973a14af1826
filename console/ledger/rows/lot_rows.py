"""The uniform lots of a run, as their rows left them."""

from collections.abc import Mapping
from typing import Any

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import Row
from console.yard.lots.uniform_lot import UniformLot, lot_from_json

DROPPED = "dropped"
"""Marks the row that takes a lot back altogether."""


def lots_of(source: LedgerSource, run_id: str) -> dict[str, UniformLot]:
    """Return every uniform lot of a run as its newest row holds it, by lot id, oldest lot first.

    Args:
        source: The ledger or a reader.
        run_id: The run.
    """
    newest = _newest(source, run_id)
    return {lot_id: lot_from_json(body) for lot_id, body in newest.items() if not body.get(DROPPED)}


def next_lot_id(source: LedgerSource, run_id: str) -> str:
    """Return the id of the next lot of a run, never one that was given before: "T1-0007-L01"."""
    return f"{run_id}-L{len(_newest(source, run_id)) + 1:02d}"


def lot_before(source: LedgerSource, row: Row) -> dict[str, Any]:
    """Return what the ledger kept of a lot before one of its rows; a dropped one where that row began it."""
    earlier = rows_where(source, "run_id = ? AND kind = 'lot' AND seq < ?", (row.run_id, row.seq))
    own = [one.body for one in earlier if one.body["lot"] == row.body["lot"]]
    return dict(own[-1]) if own else {**row.body, DROPPED: True}


def _newest(source: LedgerSource, run_id: str) -> dict[str, Mapping[str, Any]]:
    """Return lot id -> body of its newest row."""
    rows = rows_where(source, "run_id = ? AND kind = 'lot'", (run_id,))
    return {str(row.body["lot"]): row.body for row in rows}
