"""One writer at a time: a lock of the operating system that dies with its process."""

import os
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from console.ground.dates import local_day_and_time
from console.ledger.rows.errors import StoreError, StoreLocked, StoreReadOnly
from grade_library.user_files import UserFileError, read_text

if TYPE_CHECKING:
    from filelock import BaseFileLock


def take_writer_lock(store: Path, *, terminal: str, at: datetime) -> "BaseFileLock":
    """Return the lock on the store, held by this process until it is released or the process ends.

    Args:
        store: The store's file; the lock lies beside it, with `.lock` added to its name.
        terminal: Written into the lock file, for whoever comes second.
        at: Now.

    Raises:
        StoreLocked: Another process, or another ledger of this one, writes to the store.
        StoreReadOnly: The folder does not let the lock be made.
        StoreError: There is no such folder.
    """
    # Takes a tenth of a second to import; readers and commands without a store never need it.
    from filelock import FileLock, Timeout

    # The lock would make the folder; a mistyped one must be told instead.
    if not store.parent.is_dir():
        raise StoreError(
            f"There is no folder {store.parent} to keep the store in. Make it, or name another one."
        )
    # Not bound to a thread: the console opens the store in one and closes it in another.
    lock = FileLock(lock_path(store.resolve()), timeout=0, thread_local=False)
    try:
        lock.acquire()
    except Timeout:
        raise StoreLocked(
            f"Another console writes to {store}: {holder_of(store)}. Close that one first, or look without "
            'writing: "baywright tally" and "baywright handover" work beside it.'
        ) from None
    except OSError as error:
        raise StoreReadOnly(
            f"{store} cannot be written: {lock_path(store).name} could not be made ({error.strerror}). "
            "Give yourself write permission on the folder, or choose another yard folder."
        ) from error
    # On a full disk the name is missing, the lock holds all the same.
    with suppress(OSError):
        lock_path(store).write_text(
            f"terminal {terminal}, process {os.getpid()}, since {local_day_and_time(at)}", encoding="utf-8"
        )
    return lock


def lock_path(store: Path) -> Path:
    """Return where the lock of a store lies."""
    return store.with_name(store.name + ".lock")


def holder_of(store: Path) -> str:
    """Return who holds the lock, as it wrote itself down: "terminal T1, process 1234, since ..."."""
    try:
        text = read_text(lock_path(store), 1000, errors="replace")
    except (OSError, UserFileError):
        text = ""
    printable = "".join(letter for letter in text if letter.isprintable())
    return printable[:200] or "it has not said who it is"
