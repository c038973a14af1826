"""Adds rows to the store, one act one transaction, on disk before it returns."""

import sqlite3
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from copy import copy
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, Unpack

from console.ledger.keeping.settling import is_disk_error, settled
from console.ledger.keeping.store_file import StoreFile
from console.ledger.rows.chain import FIRST_PREV_HASH, HASHED_COLUMNS, row_hash
from console.ledger.rows.clock_steps import ClockWatch, step_text
from console.ledger.rows.errors import LedgerRefusal, StoreReplaced, StoreUncertain
from console.ledger.rows.queries import row_of
from console.ledger.rows.row_ids import RowIds
from console.ledger.rows.row_text import json_text, storable, time_of, time_text
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import open_run_id
from console.ledger.rows.trouble import UNREADABLE, told_plainly

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
        elapsed: Callable[[], float] | None = None,
    ) -> None:
        self.path = path
        self.connection = connection
        self.terminal = terminal
        self._writer_lock = lock
        self._now = now
        self._one_act = threading.RLock()
        with told_plainly(path):
            last = connection.execute(
                "SELECT row_id, at_utc FROM ledger ORDER BY seq DESC LIMIT 1"
            ).fetchone()
            self.head = self._end_of_chain()
        self._ids = RowIds(terminal, last[0] if last else None)
        self._clock = ClockWatch(time_of(last[1]) if last else None, elapsed)
        self.when_told: Callable[[str], None] = lambda said: None
        """Is told what the sorter should hear beside the answer to an act."""
        self._file = StoreFile(path, Path(lock.lock_file))
        self._pending = self.head
        self.when_lost: Callable[[str], None] = lambda why: None
        """Is told when nothing more can be written, and why."""
        self.after_commit: Callable[[int, str], None] = lambda seq, row_hash: None
        """Is told number and hash of the newest row after every act."""

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
            self._pending, clock = self.head, copy(self._clock)
            try:
                self._file.must_be_ours(self.head[1])
                yield
                self._commit()
            except (StoreReplaced, StoreUncertain) as error:
                # An uncertain act has closed its connection already.
                with suppress(*UNREADABLE):
                    self.connection.execute("ROLLBACK")
                self.when_lost(str(error))
                raise
            except BaseException:
                self._clock = clock
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                raise
            self.head = self._pending
            self._file.note()
            self.after_commit(*self.head)

    @contextmanager
    def looking(self) -> Iterator[sqlite3.Connection]:
        """Give the connection for a question between two acts of other threads."""
        with self._one_act, told_plainly(self.path):
            yield self.connection

    def _commit(self) -> None:
        """Have the act on the disk; where the disk refuses, find out whether it is there all the same.

        Raises:
            sqlite3.Error: It is surely not there.
            StoreUncertain: Nobody can say.
        """
        try:
            self.connection.execute("COMMIT")
        except sqlite3.OperationalError as error:
            if not is_disk_error(error):
                raise
            self.connection, is_written = settled(self.path, self.connection, self._pending)
            if not is_written:
                raise

    def append(
        self,
        kind: RowKind,
        *,
        person: str,
        run_id: str = "",
        body: Mapping[str, Any] | None = None,
        evidence: Mapping[str, Any] | None = None,
        **columns: Unpack[RowColumns],
    ) -> Row:
        """Add one row and return it once it is on disk (inside `act`: once the act ends).

        Args:
            kind: What happened.
            person: Who did it, not blank.
            run_id: The run it belongs to; empty for the open one.
            body: Everything else, JSON-ready.
            evidence: What was known at the time, JSON-ready; kept apart from the body since it is large.
            columns: See RowColumns.

        Raises:
            LedgerRefusal: The person is blank, or no run is open.
            StoreError: The disk refused; nothing was written.
        """
        if not person.strip():
            raise LedgerRefusal("Every row names who made it. Say who works here first.")
        at = self._now()
        with self.act():
            run_id = run_id or open_run_id(self)
            if kind is not RowKind.CLOCK and (step := self._clock.step(at)):
                self._note_clock(step, person, run_id)
            seq, prev_hash = self._must_follow()
            start = (seq + 1, self._ids.next_id(at), kind.value, time_text(at), storable(person))
            texts = (json_text(body or {}), json_text(evidence) if evidence else None)
            given = tuple(_storable(columns.get(name)) for name in RowColumns.__annotations__)
            hashed = (*start, storable(self.terminal), run_id, *given, *texts, prev_hash)
            own_hash = row_hash(hashed)
            self.connection.execute(_INSERT, (*hashed, own_hash))
            self._pending = (hashed[0], own_hash)
        return row_of((*start, storable(self.terminal), run_id, *given, texts[0], prev_hash, own_hash))

    def _note_clock(self, step: timedelta, person: str, run_id: str) -> None:
        """Keep by a row, and tell, that the clock was set."""
        self.append(RowKind.CLOCK, person=person, run_id=run_id, body={"step_s": round(step.total_seconds())})
        self.when_told(
            f"The clock of this computer was set {step_text(step)}. A row keeps that; reports by date go "
            "by the order of the run. See that the clock is right."
        )

    def _must_follow(self) -> tuple[int, str]:
        """Return seq and hash of the newest row, which must be the one that this writer left.

        Raises:
            StoreReplaced: Somebody else wrote rows, or took some away.
        """
        found = self._end_of_chain()
        if found != self._pending:
            raise StoreReplaced(
                f"{self.path} ends in row {found[0]}, where this console left row {self._pending[0]}: "
                "another program wrote to it. This act was not written, and nothing more is. Start again."
            )
        return found

    def _end_of_chain(self) -> tuple[int, str]:
        """Return seq and hash of the newest row."""
        last = self.connection.execute(
            "SELECT seq, row_hash FROM ledger ORDER BY seq DESC LIMIT 1"
        ).fetchone()
        return (last[0], last[1]) if last else (0, FIRST_PREV_HASH)


def _storable(value: object) -> Any:
    """Return a column's value as SQLite can hold it."""
    return storable(value) if isinstance(value, str) else value
