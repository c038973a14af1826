"""Reads rows back from the store as records."""

import json
import sqlite3
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Self

from console.ledger.rows.connection import LedgerSource, open_for_reading
from console.ledger.rows.errors import StoreDamaged
from console.ledger.rows.row_text import time_of
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.trouble import told_plainly

ROW_COLUMNS = (
    "seq, row_id, kind, at_utc, person, terminal, run_id, refers, bay, grade_id, mass_g, pieces, tag, body, "
    "prev_hash, row_hash"
)
"""The columns of a Row; the evidence, by far the largest, is read only where it is asked for."""
_NAMES = ROW_COLUMNS.split(", ")


class LedgerReader:
    """The store opened for looking only: never waits, never holds the writer up."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self.connection = connection

    @classmethod
    def open(cls, path: Path) -> Self:
        """Open an existing store.

        Raises:
            StoreError: There is no store yet, it is damaged, or it is newer than this program.
        """
        return cls(path, open_for_reading(path))

    def close(self) -> None:
        """Close the file."""
        self.connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def row_of(columns: tuple[Any, ...]) -> Row:
    """Return the Row of the values of ROW_COLUMNS; the STRICT table vouches for their types."""
    said = dict(zip(_NAMES, columns, strict=True))
    kind, at_utc, body = RowKind(said.pop("kind")), time_of(said.pop("at_utc")), json.loads(said.pop("body"))
    return Row(kind=kind, at_utc=at_utc, body=body, **said)


def rows_where(
    source: LedgerSource, condition: str, values: Iterable[object] = (), *, index: str | None = None
) -> list[Row]:
    """Return the rows that meet a condition, oldest first.

    Args:
        source: The ledger or a reader.
        condition: SQL after WHERE, written by this program, with `?` for every value.
        values: What stands for the `?`.
        index: Name of the index to use, where SQLite would choose a slower one.
    """
    by = f" INDEXED BY {index}" if index else ""
    with told_plainly(source.path):
        found = source.connection.execute(
            f"SELECT {ROW_COLUMNS} FROM ledger{by} WHERE {condition} ORDER BY seq", tuple(values)
        )
        return [_row_of_store(source.path, columns) for columns in found]


def _row_of_store(path: Path, columns: tuple[Any, ...]) -> Row:
    try:
        return row_of(columns)
    except (ValueError, TypeError, RecursionError) as error:
        raise StoreDamaged(
            f"{path} is damaged: row {columns[0]} cannot be understood. Keep the file as it is, see what can "
            'be saved with "baywright verify", and restore the newest backup.'
        ) from error


def row_by_id(source: LedgerSource, row_id: str) -> Row | None:
    """Return the row with this id, None if there is none."""
    found = rows_where(source, "row_id = ?", (row_id,))
    return found[0] if found else None


def last_row(source: LedgerSource) -> Row | None:
    """Return the newest row of the store, None if it has none."""
    found = rows_where(source, "seq = (SELECT max(seq) FROM ledger)")
    return found[0] if found else None


def kept_evidence(source: LedgerSource, row_id: str) -> dict[str, object]:
    """Return what was kept with a row: facts, candidates and reasons as they were; empty if nothing was."""
    with told_plainly(source.path):
        found = source.connection.execute(
            "SELECT evidence FROM ledger WHERE row_id = ?", (row_id,)
        ).fetchone()
    return json.loads(found[0]) if found and found[0] else {}
