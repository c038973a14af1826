"""Copies of a store that can be carried away, and the way back."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import AbstractContextManager, closing, nullcontext, suppress
from datetime import datetime
from pathlib import Path

from console.ground.durable import onto_disk
from console.ledger.keeping.verify import verify
from console.ledger.keeping.writer_lock import take_writer_lock
from console.ledger.rows.connection import checked_version, open_for_reading
from console.ledger.rows.errors import StoreDamaged, StoreError, StoreReadOnly
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.schema import STEPS
from console.ledger.rows.trouble import UNREADABLE, told_plainly

THERE_ALREADY = (
    "{store} exists already and was not touched. To replace it with the backup, say so with --overwrite; the "
    "present store is then kept beside it."
)
AS_IT_IS = ", or say --unverified {count} to take this one as it is, its reports then say NOT VERIFIED"
NOT_REPLACED = "{store} could not be replaced ({why}); the present store is as it was."


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
    unfinished = target.with_name(f".{target.name}.{os.getpid()}.unfinished")
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


def restore(
    copy: Path,
    store: Path,
    *,
    at: datetime,
    overwrite: bool = False,
    unverified: int = 0,
    undivided: Callable[[], AbstractContextManager[None]] = nullcontext,
) -> None:
    """Put a backup in the place of a store.

    The copy is made beside the store, its whole chain looked at, and seen onto the disk before anything
    of the store is touched; then one rename puts it in place. At every moment there is a whole store
    under the name: the old one or the new one. The old one is kept beside it, with `.replaced` added to
    its name.

    Args:
        copy: The backup.
        store: Where the store shall lie.
        at: Now, aware.
        overwrite: Replace an existing store.
        unverified: So many rows of the backup may be other than they were written, as a person was told.
        undivided: Gives a block that nobody's Ctrl C cuts in two, for the swap.

    Raises:
        StoreLocked: A console has the store open.
        StoreError: The backup is no whole store, or a store lies there already and `overwrite` is not set.
    """
    if store.exists() and not overwrite:
        raise StoreError(THERE_ALREADY.format(store=store))
    lock = take_writer_lock(store, terminal="restore", at=at)
    beside = store.with_name(f".{store.name}.{os.getpid()}.unfinished")
    try:
        _copy_beside(copy, beside, unverified)
        with undivided():
            _swap(beside, store)
    except OSError as error:
        raise StoreReadOnly(NOT_REPLACED.format(store=store, why=error.strerror)) from error
    finally:
        beside.unlink(missing_ok=True)
        lock.release()


def _copy_beside(copy: Path, beside: Path, unverified: int) -> None:
    """Copy a backup, and see it whole and on the disk.

    Raises:
        StoreError: It is not whole, or there is no room.
    """
    beside.unlink(missing_ok=True)
    connection = open_for_reading(copy)
    try:
        with told_plainly(copy):
            _must_be_whole(connection, copy)
        with told_plainly(beside):
            _copy(connection, beside, len(STEPS))
    finally:
        connection.close()
    with LedgerReader.open(beside) as reader:
        found = verify(reader)
    rows = {one.seq for one in found.findings}
    if not found.is_whole and (None in rows or len(rows) != unverified):
        first = found.findings[0]
        where = f"row {first.seq}: " if first.seq is not None else ""
        how = "" if None in rows else AS_IT_IS.format(count=len(rows))
        raise StoreDamaged(
            f"{copy} is not whole: {where}{first.what}. Use another backup{how}; nothing was touched."
        )
    onto_disk(beside)


def _swap(beside: Path, store: Path) -> None:
    """Put the finished copy in the place of the store; on any failure everything is put back."""
    _fold_log_in(store)
    moved: list[tuple[Path, Path]] = []
    try:
        if store.exists():
            kept = _free_name(store)
            # The store keeps its name until the very rename that puts the new one there.
            _second_name(store, kept)
            for ending in ("-wal", "-shm"):
                part = store.with_name(store.name + ending)
                if part.exists():
                    # A log of the old store beside the new one would bring the old rows back.
                    part.rename(kept.with_name(kept.name + ending))
                    moved.append((part, kept.with_name(kept.name + ending)))
        os.replace(beside, store)
    except BaseException:
        for part, aside in moved:
            aside.rename(part)
        raise
    onto_disk(store.parent)


def _fold_log_in(store: Path) -> None:
    """Have the rows of a killed console, which stand in the log beside the store, in the store itself."""
    if not store.exists():
        return
    with suppress(*UNREADABLE, OSError), closing(sqlite3.connect(store, isolation_level=None)) as plain:
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _second_name(store: Path, kept: Path) -> None:
    """Have the old store under a second name, too; by a copy where the disk knows no links."""
    try:
        os.link(store, kept)
    except OSError:
        shutil.copy2(store, kept)
        onto_disk(kept)


def _free_name(store: Path) -> Path:
    """Return a name for the old store that nothing has yet."""
    number = 1
    while (kept := store.with_name(f"{store.name}.replaced-{number}")).exists():
        number += 1
    return kept


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
