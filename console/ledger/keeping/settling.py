"""After a failed sync of the disk: finds out whether the act is written, and says so only where that is sure.

SQLite takes a commit back in memory when the disk refuses its sync. Its pages stand in the log all the
same, and whoever opens the store after a crash may find the act there. So neither "written" nor "not
written" is true before the log was read again and seen onto the disk, or emptied.
Source: SQLite, "Write-Ahead Logging", sections on commit and recovery, memory.
"""

import sqlite3
from contextlib import suppress
from pathlib import Path

from console.ground.durable import onto_disk
from console.ledger.keeping.going_back import hash_at
from console.ledger.rows.connection import set_up_writer, writer_connection
from console.ledger.rows.errors import StoreError, StoreUncertain
from console.ledger.rows.trouble import PRIMARY_CODE, UNREADABLE


def is_disk_error(error: sqlite3.Error) -> bool:
    """Return whether the disk failed, so that what SQLite says of the act need not be so."""
    return (getattr(error, "sqlite_errorcode", None) or 0) & PRIMARY_CODE == sqlite3.SQLITE_IOERR


def settled(
    path: Path, connection: sqlite3.Connection, wanted: tuple[int, str]
) -> tuple[sqlite3.Connection, bool]:
    """Return a connection to go on with, and whether the act is written; both are sure.

    Args:
        path: The store.
        connection: The one that failed; closed where it is not handed back.
        wanted: Number and hash of the newest row of the act.

    Raises:
        StoreUncertain: Neither is sure; the connection is closed, and only a new start can look.
    """
    if connection.in_transaction:
        connection.execute("ROLLBACK")
    if _is_log_settled(path, connection):
        return connection, False  # the log was emptied, and the act was not taken out of it
    connection.close()
    try:
        fresh = writer_connection(path)
        set_up_writer(fresh, path)
        is_there = _is_there(fresh, wanted)
        if _is_log_settled(path, fresh):
            return fresh, is_there
        fresh.close()
    except (*UNREADABLE, StoreError) as second:
        raise _uncertain(path, wanted, "the store could not be read again") from second
    said = "reads as written" if is_there else "reads as not written"
    raise _uncertain(path, wanted, f"read again, it {said}")


def _is_there(connection: sqlite3.Connection, wanted: tuple[int, str]) -> bool:
    return hash_at(connection, wanted[0]) == wanted[1]


def _is_log_settled(path: Path, connection: sqlite3.Connection) -> bool:
    """Return whether all of the log could be folded into the store and emptied, and the disk confirms it."""
    try:
        busy, left, done = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        onto_disk(path.with_name(path.name + "-wal"))
    except (*UNREADABLE, OSError):
        return False
    return bool(busy == 0 and left == done)


def said_of_uncertain_act(path: Path, connection: sqlite3.Connection) -> str:
    """Return what became of an act that was uncertain when the store was last open; empty where none was."""
    mark = mark_of_uncertain(path)
    try:
        seq, row_hash, *_ = mark.read_text(encoding="ascii").split()
        is_there = _is_there(connection, (int(seq), row_hash))
    except (OSError, ValueError):
        return ""
    mark.unlink(missing_ok=True)
    if is_there:
        return (
            f"The act that was uncertain as the disk failed is written, as row {seq}. Do not enter it again."
        )
    return "The act that was uncertain as the disk failed is not written. Do it again."


def mark_of_uncertain(path: Path) -> Path:
    """Return where an uncertain act is noted for the next start."""
    return path.with_name(path.name + ".uncertain")


def _uncertain(path: Path, wanted: tuple[int, str], read: str) -> StoreUncertain:
    with suppress(OSError):
        mark_of_uncertain(path).write_text(f"{wanted[0]} {wanted[1]}\n", encoding="ascii")
    return StoreUncertain(
        f"The disk that holds {path} failed while row {wanted[0]} was written, and it is uncertain whether "
        f"this act is on it: {read}, but the disk does not confirm it. Check the disk and its cable and "
        "start again: the start looks and says which. Do not enter it again before that."
    )
