"""Saves what can still be read of a damaged store, row by row, as text."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from console.ground.durable import writing_whole
from console.ledger.keeping.anchors import anchors_of
from console.ledger.keeping.raw_rows import RawRow, is_whole, raw_rows
from console.ledger.rows.chain import HASHED_COLUMNS
from console.ledger.rows.errors import StoreError, StoreReadOnly


@dataclass(frozen=True, slots=True, kw_only=True)
class Salvaged:
    """What could be saved."""

    rows: int
    """Rows written, whole or not."""
    whole: int
    """Row numbers of which a whole row was written."""
    known: int
    """How many rows the ledger is known to have had: by its rows, and by what is kept outside of it."""

    @property
    def is_all(self) -> bool:
        """Whether every row that is known of was saved whole, and there was one."""
        return 0 < self.known == self.whole == self.rows


def salvage(store: Path, target: Path) -> Salvaged:
    """Write every row that lies anywhere in a store to a text file, one JSON object a line, by row number.

    Each object holds the columns of the row by name and `is_whole`: whether they agree with the row's hash. A
    row of which a whole one was found is written whole only.

    Args:
        store: The damaged store; it is read page by page and not opened as a store.
        target: The file to make.

    Raises:
        StoreError: The store is not there, or the target exists or cannot be written.
    """
    if target.exists():
        raise StoreError(f"{target} exists already and was not touched. Choose another name.")
    if not store.is_file():
        raise StoreError(f"There is no store at {store} to save rows of.")
    found = _found(store)
    whole = {seq for seq, row in found if is_whole(row)}
    kept = [(seq, row) for seq, row in found if is_whole(row) or seq not in whole]
    try:
        with writing_whole(target, errors="backslashreplace") as file:
            for _, row in kept:
                file.write(json.dumps(_as_object(row), ensure_ascii=False) + "\n")
    except OSError as error:
        raise StoreReadOnly(f"{target} could not be written: {error.strerror}.") from error
    outside = max((anchor.newest[0] for anchor in anchors_of(store, None)), default=0)
    return Salvaged(rows=len(kept), whole=len(whole), known=max([outside, *whole]))


def _found(store: Path) -> list[tuple[int, RawRow]]:
    """Return number and row of whatever was found, each content once, by number."""
    try:
        rows = dict.fromkeys(raw_rows(store))
    except OSError as error:
        raise StoreError(f"{store} cannot be read: {error.strerror}.") from error
    return sorted(((int(str(row[0])), row) for row in rows), key=lambda numbered: numbered[0])


def _as_object(row: RawRow) -> dict[str, Any]:
    values = [value.hex() if isinstance(value, bytes) else value for value in row]
    return {
        **dict(zip(HASHED_COLUMNS, values[:-1], strict=True)),
        "row_hash": values[-1],
        "is_whole": is_whole(row),
    }
