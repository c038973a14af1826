"""What the ledger says of readings that came from files: which it took, and which it gave back."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import row_by_id, rows_where
from console.ledger.rows.rows import Row, RowKind
from console.ledger.views.piece_state import corrections_of
from console.ledger.views.replay import REDO_REASON, UNDO_REASON, Standing, stand_after

READINGS = "readings"
"""Key in the body of a piece, of the row that resolved it, or of the note that sets readings aside."""

_HOLDS = f"instr(body, '\"{READINGS}\":')"
"""What a person typed cannot be taken for the key: JSON puts a stroke before quotation marks in text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingAct:
    """A row that took readings into the ledger, or gave them back."""

    row_id: str
    is_taken: bool
    """False when what held them was voided or taken back: they wait again."""
    readings: tuple[Mapping[str, Any], ...]
    """As the row keeps them that took them."""


def reading_acts(source: LedgerSource, after: int = 0, until: int | None = None) -> list[ReadingAct]:
    """Return what happened to readings after the row `after`, oldest first; the last act on a reading holds.

    Args:
        source: The ledger or a reader.
        after: seq of the last row that was looked at before; 0 for the whole ledger.
        until: seq of the last row to look at; None for the newest.
    """
    rows = rows_where(
        source,
        "seq > ? AND seq <= coalesce(?, seq) AND (kind IN ('void', 'unvoid') "
        "OR kind = 'move' AND json_extract(body, '$.reason') IN (?, ?) "
        f"OR kind IN ('piece', 'note', 'resolve') AND {_HOLDS})",
        (after, until, UNDO_REASON, REDO_REASON),
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
    if row.kind in (RowKind.PIECE, RowKind.NOTE, RowKind.RESOLVE):
        return ReadingAct(row_id=row.row_id, is_taken=True, readings=tuple(row.body[READINGS]))
    entered = row_by_id(source, row.refers or "")
    if entered is None:
        return None
    earlier = [one for one in corrections_of(source, entered.row_id) if one.seq < row.seq]
    before = _held_by(stand_after([entered, *earlier])[entered.row_id])
    after = _held_by(stand_after([entered, *earlier, row])[entered.row_id])
    is_taken = len(after) > len(before)
    changed = tuple(
        one for one in (after if is_taken else before) if one not in (before if is_taken else after)
    )
    return ReadingAct(row_id=row.row_id, is_taken=is_taken, readings=changed) if changed else None


def _held_by(standing: Standing) -> tuple[Mapping[str, Any], ...]:
    """Return the readings that a piece or a note holds as it stands."""
    if standing.is_void:
        return ()
    rows = {row.row_id: row for row in (standing.entered, standing.naming)}
    return tuple(reading for row in rows.values() for reading in row.body.get(READINGS, ()))
