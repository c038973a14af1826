"""The uniform lots of a run, as their rows left them."""

from console.ledger.connection import Readable
from console.ledger.reading import rows_where
from console.yard.lots import UniformLot, lot_from_json


def lots_of(source: Readable, run_id: str) -> dict[str, UniformLot]:
    """Return every uniform lot of a run as its newest row holds it, by lot id, oldest lot first.

    Args:
        source: The ledger or a reader.
        run_id: The run.
    """
    rows = rows_where(source, "run_id = ? AND kind = 'lot'", (run_id,))
    return {str(row.body["lot"]): lot_from_json(row.body) for row in rows}


def next_lot_id(source: Readable, run_id: str) -> str:
    """Return the id of the next lot of a run: "T1-0007-L1"."""
    return f"{run_id}-L{len(lots_of(source, run_id)) + 1}"
