"""Copies of a store that can be carried away, and the way back."""

import shutil
import sqlite3
from datetime import datetime
from pathlib import Path

from console.ground.durable import onto_disk
from console.ledger.keeping.writer_lock import take_writer_lock
from console.ledger.rows.connection import checked_version, open_for_reading
from console.ledger.rows.errors import StoreDamaged, StoreError, StoreReadOnly
from console.ledger.rows.schema import STEPS
from console.ledger.rows.trouble import told_plainly


def backup(store: Path, target: Path) -> Path:
    """Copy a store, also while a console writes to it, and return where the copy lies.

    The copy is one plain file that can be read from a stick that is write-protected.

    Args:
        store: The store's file.
        target: The file to make, or a folder to make it in under the store's name.

    Raises:
        StoreError: The target exists, cannot be written, or the copy is not whole.
    """
    if target.is_dir():
        target = target / store.name
    connection = open_for_reading(store)
    try:
        backup_connection(connection, target)
    finally:
        connection.close()
    return target


def backup_connection(connection: sqlite3.Connection, target: Path, *, newest: int = len(STEPS)) -> None:
    """Copy an open store to a new file, check the copy, and see it onto the disk.

    Args:
        connection: The store.
        target: The file to make.
        newest: Newest version of the schema that may be copied.

    Raises:
        StoreError: The target exists, cannot be written, or the copy is not whole.
    """
    if target.exists():
        raise StoreError(f"{target} exists already; a backup never overwrites a file. Choose another name.")
    unfinished = target.with_name(target.name + ".unfinished")
    try:
        unfinished.unlink(missing_ok=True)
        with told_plainly(target):
            _copy(connection, unfinished, newest)
        onto_disk(unfinished)
        unfinished.rename(target)
        onto_disk(target.parent)
    except OSError as error:
        raise StoreReadOnly(f"The backup {target} could not be written: {error.strerror}.") from error
    finally:
        if unfinished.exists():
            unfinished.unlink()


def restore(copy: Path, store: Path, *, at: datetime, overwrite: bool = False) -> None:
    """Put a backup in the place of a store.

    An existing store is never thrown away: with `overwrite` it is kept beside the new one, with `.replaced`
    added to its name.

    Args:
        copy: The backup.
        store: Where the store shall lie.
        at: Now, aware.
        overwrite: Replace an existing store.

    Raises:
        StoreLocked: A console has the store open.
        StoreError: The backup is no whole store, or a store lies there already and `overwrite` is not set.
    """
    if store.exists() and not overwrite:
        raise StoreError(
            f"{store} exists already and was not touched. To replace it with the backup, say so with "
            "--overwrite; the present store is then kept beside it."
        )
    connection = open_for_reading(copy)
    try:
        with told_plainly(copy):
            _must_be_whole(connection, copy)
        lock = take_writer_lock(store, terminal="restore", at=at)
        try:
            if store.exists():
                _set_aside(store)
            backup_connection(connection, store)
        finally:
            lock.release()
    finally:
        connection.close()


def _copy(connection: sqlite3.Connection, target: Path, newest: int) -> None:
    """Copy the store page by page and leave the copy without a write-ahead log."""
    other = sqlite3.connect(target, isolation_level=None)
    try:
        connection.backup(other)
        # A file in WAL mode cannot be read from write-protected media.
        other.execute("PRAGMA journal_mode = DELETE").fetchone()
        _must_be_whole(other, target, newest)
    finally:
        other.close()


def _must_be_whole(connection: sqlite3.Connection, path: Path, newest: int = len(STEPS)) -> None:
    """Raise unless SQLite finds everything in order."""
    checked_version(connection, path, newest=newest)
    finding = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if finding != "ok":
        raise StoreDamaged(f"{path} is not whole: {finding}. Use an older backup.")


def _set_aside(store: Path) -> None:
    """Rename a store and its side files, so that nothing of it is lost or taken for the new one."""
    number = 1
    while (kept := store.with_name(f"{store.name}.replaced-{number}")).exists():
        number += 1
    for ending in ("", "-wal", "-shm"):
        part = store.with_name(store.name + ending)
        if part.exists():
            shutil.move(part, kept.with_name(kept.name + ending))
