"""The ledger: opens the store for writing, whole, checked and locked."""

import sqlite3
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Self

from console.ledger.acts.run_acts import RunActs
from console.ledger.keeping.backup import backup_connection
from console.ledger.keeping.writer_lock import take_writer_lock
from console.ledger.rows.connection import open_for_writing
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.row_text import time_text
from console.ledger.rows.schema import STEPS, Step

__all__ = ["Ledger", "LedgerReader"]


class Ledger(RunActs):
    """The one writer of a store. Acts are those of runs and of pieces; see RunActs and PieceActs."""

    @classmethod
    def open(
        cls, path: Path, *, now: Callable[[], datetime], terminal: str, steps: Sequence[Step] = STEPS
    ) -> Self:
        """Open the store for writing; makes it if there is none, upgrades an older one after a backup.

        Args:
            path: The store's file, in a folder that exists.
            now: Gives the time of every row, aware.
            terminal: Name of this terminal, in every row.
            steps: The schema's steps.

        Raises:
            StoreLocked: Another console writes to it; the message names it.
            StoreError: Or another of its kinds, with a message for the sorter.
        """
        lock = take_writer_lock(path, terminal=terminal, at=now())

        def back_up(connection: sqlite3.Connection, version: int) -> None:
            stamp = time_text(now()).replace(":", "").replace("-", "")[:15]
            copy = path.with_name(f"{path.name}.version-{version}.{stamp}.backup")
            backup_connection(connection, copy, newest=len(steps))

        try:
            connection = open_for_writing(path, before_upgrade=back_up, steps=steps)
            return cls(path, connection, lock, now=now, terminal=terminal)
        except BaseException:
            lock.release()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
