"""Adds rows to the store, one act one transaction, on disk before it returns."""

import json
import sqlite3
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from console.ledger.rows.chain import FIRST_PREV_HASH, HASHED_COLUMNS, row_hash
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import row_by_id
from console.ledger.rows.row_ids import RowIds
from console.ledger.rows.row_text import json_text, storable, time_of, time_text
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.trouble import told_plainly

if TYPE_CHECKING:
    from filelock import BaseFileLock

_PLACES = ", ".join("?" * (len(HASHED_COLUMNS) + 1))
_INSERT = f"INSERT INTO ledger ({', '.join(HASHED_COLUMNS)}, row_hash) VALUES ({_PLACES})"


class RowColumns(TypedDict, total=False):
    """The columns that a row has only where they make sense, in their order on disk."""

    refers: str | None
    """row_id of the row that it corrects."""
    bay: str | None
    grade_id: str | None
    mass_g: int | None
    """[g], > 0."""
    pieces: int | None
    """How many, >= 1."""
    tag: str | None
    """Number written on a piece that goes on hold."""


class Journal:
    """The store opened for writing. Use one thread at a time; a lock keeps two acts apart all the same."""

    def __init__(
        self,
        path: Path,
        connection: sqlite3.Connection,
        lock: "BaseFileLock",
        *,
        now: Callable[[], datetime],
        terminal: str,
    ) -> None:
        self.path = path
        self.connection = connection
        self.terminal = terminal
        self._writer_lock = lock
        self._now = now
        self._one_act = threading.RLock()
        with told_plainly(path):
            last = connection.execute("SELECT row_id FROM ledger ORDER BY seq DESC LIMIT 1").fetchone()
        self._ids = RowIds(terminal, last[0] if last else None)

    def close(self) -> None:
        """Fold the write-ahead log into the store's file, close it, and let the next writer in."""
        try:
            # On a full disk the log cannot be folded in; its rows are safe there until the next opening.
            with suppress(sqlite3.OperationalError):
                self.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        finally:
            self.connection.close()
            self._writer_lock.release()

    @contextmanager
    def act(self) -> Iterator[None]:
        """Make everything inside one transaction, on disk at its end; acts may nest.

        Raises:
            StoreError: The disk refused; nothing of the act was written.
        """
        with self._one_act, told_plainly(self.path):
            if self.connection.in_transaction:
                yield
                return
            # An immediate transaction never fails half way because of somebody else's commit.
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield
                self.connection.execute("COMMIT")
            except BaseException:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                raise

    def append(
        self,
        kind: RowKind,
        *,
        person: str,
        run_id: str,
        body: Mapping[str, Any] | None = None,
        evidence: Mapping[str, Any] | None = None,
        **columns: Unpack[RowColumns],
    ) -> Row:
        """Add one row and return it once it is on disk (inside `act`: once the act ends).

        Args:
            kind: What happened.
            person: Who did it, not blank.
            run_id: The run it belongs to.
            body: Everything else, JSON-ready.
            evidence: What was known at the time, JSON-ready; kept apart from the body since it is large.
            columns: See RowColumns.

        Raises:
            LedgerRefusal: The person is blank.
            StoreError: The disk refused; nothing was written.
        """
        if not person.strip():
            raise LedgerRefusal("Every row names who made it. Say who works here first.")
        at = self._now()
        with self.act():
            seq, prev_hash = self._end_of_chain()
            start = (seq + 1, self._ids.next_id(at), kind.value, time_text(at), storable(person))
            texts = (json_text(body or {}), json_text(evidence) if evidence else None)
            given = tuple(_storable(columns.get(name)) for name in RowColumns.__annotations__)
            hashed = (*start, storable(self.terminal), run_id, *given, *texts, prev_hash)
            own_hash = row_hash(hashed)
            self.connection.execute(_INSERT, (*hashed, own_hash))
        return _as_row(hashed, own_hash)

    def _end_of_chain(self) -> tuple[int, str]:
        """Return seq and hash of the newest row."""
        last = self.connection.execute(
            "SELECT seq, row_hash FROM ledger ORDER BY seq DESC LIMIT 1"
        ).fetchone()
        return (last[0], last[1]) if last else (0, FIRST_PREV_HASH)

    def the_row(self, row_id: str, *kinds: RowKind) -> Row:
        """Return a row that an act is about.

        Raises:
            LedgerRefusal: There is no such row, or it is of another kind.
        """
        row = row_by_id(self, row_id)
        if row is None:
            raise LedgerRefusal(f"There is no row {row_id} in this ledger. Pick one from the review screen.")
        if row.kind not in kinds:
            names = " or ".join(kind.value for kind in kinds)
            raise LedgerRefusal(f"Row {row_id} is a {row.kind.value}; this can be done to a {names} only.")
        return row


def _storable(value: object) -> Any:
    """Return a column's value as SQLite can hold it."""
    return storable(value) if isinstance(value, str) else value


def _as_row(columns: tuple[Any, ...], own_hash: str) -> Row:
    """Return the Row of the columns that were just written."""
    values = dict(zip(HASHED_COLUMNS, columns, strict=True))
    del values["evidence"]
    values |= {
        "kind": RowKind(values["kind"]),
        "at_utc": time_of(values["at_utc"]),
        "body": json.loads(values["body"]),
        "row_hash": own_hash,
    }
    return Row(**values)
