"""How far the chain of the ledger was looked along, said on every report that leaves the yard."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from time import sleep

from console.ledger.keeping.going_back import hash_at, last_seq
from console.ledger.keeping.verify import changed_rows
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.trouble import told_plainly

Seen = tuple[int, str]
"""Number and hash of a row up to which every row was looked at."""
STEP_ROWS = 100
REST_S = 0.05
"""Between two steps of the look at rest [s]: a step takes 5 ms, so that keys do not notice it."""


def chain_verdict(source: LedgerSource, seen: Seen | None = None) -> str:
    """Return "verified to row N", or "NOT VERIFIED" with the first row that is not as it was written.

    Some 50 us for every row of the ledger.

    Args:
        source: The ledger or a reader.
        seen: What this process has looked along before; None looks at every row.
    """
    with told_plainly(source.path):
        first = 1 if seen is None or hash_at(source.connection, seen[0]) != seen[1] else seen[0] + 1
        found = next(changed_rows(source, first), None)
        if found is not None:
            return f"NOT VERIFIED: row {found.seq}: {found.what}"
        newest = last_seq(source.connection)
    return f"verified to row {newest}"


def look_at_rest(store: Path, is_over: Callable[[], bool]) -> "Seen | str":
    """Look along the whole chain in small steps; return how far it is whole, or what was found. For a thread.

    Args:
        store: The store; read by a connection of its own.
        is_over: Asked between two steps; what was seen until then counts.

    Raises:
        StoreError: The store cannot be read.
    """
    with LedgerReader.open(store) as reader, told_plainly(store):
        seen = (0, "")
        while not is_over():
            found = next(changed_rows(reader, seen[0] + 1, STEP_ROWS), None)
            if found is not None:
                return f"Row {found.seq} of the ledger is not as it was written: {found.what}."
            newest = _row_before(reader.connection, seen[0] + STEP_ROWS)
            if newest is None or newest == seen:
                break
            seen = newest
            sleep(REST_S)
        return seen


def _row_before(connection: sqlite3.Connection, seq: int) -> Seen | None:
    found = connection.execute(
        "SELECT seq, row_hash FROM ledger WHERE seq <= ? ORDER BY seq DESC LIMIT 1", (seq,)
    ).fetchone()
    return (int(found[0]), str(found[1])) if found else None
