"""Turns what SQLite says into what the sorter can act on."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from console.ledger.rows.errors import StoreDamaged, StoreError, StoreLocked, StoreReadOnly

# The last eight bits of a result code name its family.
PRIMARY_CODE = 0xFF

# Python reads SQLite's own message as UTF-8; a damaged store puts bytes into it that are none.
UNREADABLE = (sqlite3.Error, UnicodeDecodeError)


@contextmanager
def told_plainly(path: Path) -> Iterator[None]:
    """Raise the StoreError that fits whatever SQLite raises inside.

    Raises:
        StoreError: Or one of its kinds; the SQLite error is its cause.
    """
    try:
        yield
    except sqlite3.Error as error:
        raise store_error(path, error) from error
    except UnicodeDecodeError as error:
        raise _damaged(path, "its own names are no text") from error


def store_error(path: Path, error: sqlite3.Error) -> StoreError:
    """Return the StoreError that says what an SQLite error means for the store at path."""
    code = (getattr(error, "sqlite_errorcode", None) or 0) & PRIMARY_CODE
    if code == sqlite3.SQLITE_FULL:
        return StoreReadOnly(
            f"The disk that holds {path} is full; this act was not written, all earlier ones are safe. "
            "Free some space and do it again."
        )
    if code == sqlite3.SQLITE_READONLY:
        return StoreReadOnly(
            f"{path} cannot be written: the file or its disk is read-only. "
            "Give yourself write permission on the file and its folder, or choose another yard folder."
        )
    if code == sqlite3.SQLITE_BUSY:
        return StoreLocked(
            f"Another program writes to {path}. Close it and do this again; nothing was written."
        )
    # An error in a statement of ours means that the store has not the table it was written for.
    if code in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_ERROR, sqlite3.SQLITE_MISMATCH):
        return _damaged(path, str(error))
    if code == sqlite3.SQLITE_CANTOPEN:
        return StoreError(f"{path} cannot be opened. Check that its folder exists and is yours to write.")
    if code == sqlite3.SQLITE_IOERR:
        return StoreError(
            f"The disk that holds {path} gave an error ({error}); this act was not written. "
            "Check the disk and its cable, make a backup, and do it again."
        )
    return StoreError(f"The store {path} could not be used: {error}.")


def _damaged(path: Path, why: str) -> StoreDamaged:
    return StoreDamaged(
        f"{path} is damaged or is no store of this program ({why}). Keep the file as it is, see what "
        'can be saved with "baywright verify", and restore the newest backup.'
    )
