"""Saves what can still be read of a damaged store, row by row, as text."""

import json
from pathlib import Path

from console.ground.durable import writing_whole
from console.ledger.keeping.verify import readable_rows
from console.ledger.rows.chain import HASHED_COLUMNS, row_hash
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import StoreError, StoreReadOnly


def salvage(source: LedgerSource, target: Path) -> tuple[int, int]:
    """Write every row that can be read to a text file, one JSON object a line.

    Each object holds the columns of the row by name and `is_whole`: whether they agree with the row's hash.

    Args:
        source: A reader of the damaged store.
        target: The file to make.

    Returns:
        Rows written, and how many of them are whole.

    Raises:
        StoreError: The target exists or cannot be written.
    """
    if target.exists():
        raise StoreError(f"{target} exists already and was not touched. Choose another name.")
    rows = whole = 0
    try:
        with writing_whole(target, errors="backslashreplace") as file:
            for *hashed, own_hash in readable_rows(source):
                is_whole = row_hash(hashed) == own_hash
                row = dict(zip(HASHED_COLUMNS, hashed, strict=True))
                row |= {"row_hash": own_hash, "is_whole": is_whole}
                file.write(json.dumps(row, ensure_ascii=False) + "\n")
                rows, whole = rows + 1, whole + is_whole
    except OSError as error:
        raise StoreReadOnly(f"{target} could not be written: {error.strerror}.") from error
    return rows, whole
