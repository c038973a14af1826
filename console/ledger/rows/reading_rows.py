"""What the ledger says of readings that came from files: which it took, and which it gave back."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import row_by_id, rows_where
from console.ledger.rows.rows import Row, RowKind

READINGS = "readings"
"""Key in the body of a piece, or of the note that sets readings aside."""

_HOLDS = f"instr(body, '\"{READINGS}\":')"
"""What a person typed cannot be taken for the key: JSON puts a stroke before quotation marks in text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingAct:
    """A row that took readings into the ledger, or gave them back."""

    row_id: str
    is_taken: bool
    """False when the piece or note that held them was voided: they wait again."""
    readings: tuple[Mapping[str, Any], ...]
    """As the piece or note keeps them."""


def reading_acts(source: LedgerSource, after: int = 0, until: int | None = None) -> list[ReadingAct]:
    """Return what happened to readings after the row `after`, oldest first; the last act on a reading holds.

    Args:
        source: The ledger or a reader.
        after: seq of the last row that was looked at before; 0 for the whole ledger.
        until: seq of the last row to look at; None for the newest.
    """
    rows = rows_where(
        source,
        "seq > ? AND seq <= coalesce(?, seq) "
        f"AND (kind IN ('void', 'unvoid') OR kind IN ('piece', 'note') AND {_HOLDS})",
        (after, until),
    )
    return [act for act in (_act_of(source, row) for row in rows) if act is not None]


def readings_held(source: LedgerSource, row_id: str) -> tuple[Mapping[str, Any], ...]:
    """Return the readings that a piece or a note keeps, by its row_id; none where it keeps none."""
    row = row_by_id(source, row_id)
    return tuple(row.body.get(READINGS, ())) if row else ()


def rows_of(readings: Iterable[Mapping[str, Any]]) -> set[str]:
    """Return the ids of all rows of the readings that a body keeps."""
    return {str(row_id) for reading in readings for row_id in reading["rows"]}


def _act_of(source: LedgerSource, row: Row) -> ReadingAct | None:
    """Return what a row did to readings, None where it did nothing."""
    is_correction = row.kind in (RowKind.VOID, RowKind.UNVOID)
    readings = readings_held(source, row.refers or "") if is_correction else tuple(row.body[READINGS])
    if not readings:
        return None
    return ReadingAct(row_id=row.row_id, is_taken=row.kind is not RowKind.VOID, readings=readings)
