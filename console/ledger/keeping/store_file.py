"""The store as a file while a writer has it: whether what is written still lies under its name."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from console.ledger.rows.errors import StoreReplaced
from console.ledger.rows.trouble import UNREADABLE

Identity = tuple[int, int]
"""Device and inode."""
Shape = tuple[int, int]
"""Size [bytes] and change time [ns]."""


class StoreFile:
    """Remembers device, inode and size of store, log and lock, and looks again at every act."""

    def __init__(self, path: Path, lock: Path) -> None:
        """Take the files as they are now for ours.

        Args:
            path: The store.
            lock: The lock file that this process holds.
        """
        self._path = path
        self._log = path.with_name(path.name + "-wal")
        self._lock = lock
        self._lock_is, _ = _look(lock)
        self._is: Identity | None = None
        self._shape: Shape | None = None
        self._log_is: Identity | None = None
        self.note()

    def note(self) -> None:
        """Take the files as they are now for ours; called after each commit of ours."""
        self._is, self._shape = _look(self._path)
        self._log_is, _ = _look(self._log)

    def must_be_ours(self, newest_hash: str) -> None:
        """Raise when the store, its log or the lock was removed or replaced.

        Args:
            newest_hash: Hash of the newest row that this writer knows.

        Raises:
            StoreReplaced: What is written now would be lost, or would not be the only history.
        """
        identity, shape = _look(self._path)
        if identity is None or identity != self._is:
            gone = "was removed" if identity is None else "was replaced by another file"
            raise StoreReplaced(self._said(gone))
        if self._log_is is not None and _look(self._log)[0] != self._log_is:
            raise StoreReplaced(self._said("has lost its log (the file that ends in -wal)"))
        if _look(self._lock)[0] != self._lock_is:
            raise StoreReplaced(self._said("has lost its lock file: another console may be at work there"))
        if shape != self._shape:
            # Another program may have folded the log in, which changes nothing; or it wrote something else.
            self._must_end_in(newest_hash)
            self._shape = shape

    def _must_end_in(self, newest_hash: str) -> None:
        """Raise unless who opens the store anew finds our newest row at its end."""
        try:
            with closing(sqlite3.connect(f"{self._path.absolute().as_uri()}?mode=ro", uri=True)) as fresh:
                found = fresh.execute("SELECT row_hash FROM ledger ORDER BY seq DESC LIMIT 1").fetchone()
        except UNREADABLE as error:
            raise StoreReplaced(self._said(f"was changed by another program ({error})")) from error
        if found is not None and found[0] != newest_hash:
            raise StoreReplaced(self._said("was changed by another program"))

    def _said(self, what: str) -> str:
        return (
            f"{self._path} {what} while this console had it open. This act was not written; what was "
            "confirmed before is in the file that was opened. Nothing more is written: find out who did it, "
            "put the file back or restore a backup, and start again."
        )


def _look(path: Path) -> tuple[Identity | None, Shape | None]:
    try:
        found = os.stat(path)
    except OSError:
        return None, None
    return (found.st_dev, found.st_ino), (found.st_size, found.st_mtime_ns)
