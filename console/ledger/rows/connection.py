"""Opens the store's file: for the one writer, or for any number of readers."""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol

from console.ledger.rows.errors import StoreDamaged, StoreError, StoreReadOnly, StoreTooNew
from console.ledger.rows.schema import APPLICATION_ID, STEPS, Step, climb, version_of
from console.ledger.rows.trouble import told_plainly

CHECKED_ALWAYS_BYTES = 256_000_000  # 212 MB took 0.15 s where this was written; our own choice
WRITER_TIMEOUT_S = 1.0  # longest that a key press may wait for a strange program that holds the file

SMALLEST_STORE_BYTES = 512  # one page of the smallest size; source: SQLite file format, section 1.3.2, memory


class LedgerSource(Protocol):
    """Anything that the ledger can be read from: the writer itself or a reader."""

    @property
    def path(self) -> Path:
        """The store's file."""

    @property
    def connection(self) -> sqlite3.Connection:
        """The store, open."""


def open_for_writing(
    path: Path,
    *,
    before_upgrade: Callable[[sqlite3.Connection, int], None],
    steps: Sequence[Step] = STEPS,
) -> sqlite3.Connection:
    """Return the writing connection; makes the store if there is none and upgrades an older one.

    Args:
        path: The store's file.
        before_upgrade: Called with the store and its old version before an older store is changed.
        steps: The schema's steps.

    Raises:
        StoreError: Or one of its kinds, with a message for the sorter.
    """
    refuse_a_stub(path)
    is_check_due = should_be_checked(path)
    with told_plainly(path):
        connection = writer_connection(path)
        try:
            version = checked_version(connection, path, newest=len(steps))
            set_up_writer(connection, path)
            if is_check_due:
                check_quickly(connection, path)
            if version < len(steps):
                if version > 0:
                    before_upgrade(connection, version)
                climb(connection, steps)
        except BaseException:
            connection.close()
            raise
    return connection


def writer_connection(path: Path) -> sqlite3.Connection:
    """Return a connection that may write, not set up yet."""
    return sqlite3.connect(path, isolation_level=None, timeout=WRITER_TIMEOUT_S, check_same_thread=False)


def open_for_reading(path: Path, *, newest: int = len(STEPS)) -> sqlite3.Connection:
    """Return a connection that can only read; it neither waits for the writer nor holds it up.

    Raises:
        StoreError: There is no store yet, or it cannot be read.
    """
    if not path.exists():
        raise StoreError(
            f"There is no store at {path} yet. It is made when the console is first opened on this yard."
        )
    refuse_a_stub(path)
    with told_plainly(path):
        connection = _reading_connection(path)
        try:
            if checked_version(connection, path, newest=newest) == 0:
                raise StoreError(f"The store at {path} is empty. Open the console on this yard once.")
        except BaseException:
            connection.close()
            raise
    return connection


def _reading_connection(path: Path) -> sqlite3.Connection:
    """Return a read-only connection, also where not even the side files can be made."""
    address = path.absolute().as_uri()
    connection = sqlite3.connect(
        f"{address}?mode=ro", uri=True, isolation_level=None, timeout=0.1, check_same_thread=False
    )
    try:
        connection.execute("PRAGMA schema_version").fetchone()
    except sqlite3.OperationalError:
        connection.close()
        wal = path.with_name(path.name + "-wal")
        if wal.exists() and wal.stat().st_size > 0:
            raise
        # A store in WAL mode on read-only media opens only when SQLite may take it for unchanging.
        connection = sqlite3.connect(
            f"{address}?immutable=1", uri=True, isolation_level=None, check_same_thread=False
        )
    connection.execute("PRAGMA query_only = ON")
    connection.execute("PRAGMA trusted_schema = OFF")
    return connection


def refuse_a_stub(path: Path) -> None:
    """Raise when the file is too short to be a store; SQLite would take it for empty and write over it.

    Raises:
        StoreDamaged: The file has some bytes, but fewer than the smallest store.
    """
    if path.exists() and not path.is_file():
        raise StoreDamaged(
            f"{path} is no plain file (a pipe, a device or a folder). Move it away, and put the store or a "
            "backup in its place."
        )
    if path.exists() and 0 < path.stat().st_size < SMALLEST_STORE_BYTES:
        raise StoreDamaged(
            f"{path} is damaged or is no store of this program (only {path.stat().st_size} bytes). Keep the "
            'file as it is, see what can be saved with "baywright verify", and restore the newest backup.'
        )


def checked_version(connection: sqlite3.Connection, path: Path, *, newest: int) -> int:
    """Return the schema version, 0 for an empty file.

    Raises:
        StoreTooNew: A newer program wrote the store.
        StoreDamaged: The file belongs to another program.
    """
    version = version_of(connection)
    application = connection.execute("PRAGMA application_id").fetchone()[0]
    tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if application == 0 and version == 0 and tables == 0:
        return 0
    if application != APPLICATION_ID:
        raise StoreDamaged(
            f"{path} is a database of another program. Move it away, or choose another yard folder."
        )
    if version > newest:
        raise StoreTooNew(
            f"{path} was written by a newer Baywright (store version {version}; this one knows up to "
            f"{newest}). Install the newer one; nothing was changed."
        )
    return version


def set_up_writer(connection: sqlite3.Connection, path: Path) -> None:
    """Set what makes a commit lasting: write-ahead log, one sync of the disk for every commit.

    Raises:
        StoreReadOnly: The folder does not let itself be written to.
    """
    mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    if mode != "wal":
        raise StoreReadOnly(
            f"{path} cannot be written: its folder is read-only or lies on a network share. "
            "Choose a folder on a disk of this machine that you may write to."
        )
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA trusted_schema = OFF")
    connection.execute("PRAGMA recursive_triggers = ON")
    # SQLite opens a write-protected file without a word; a write that is rolled back finds it out now.
    connection.execute("BEGIN IMMEDIATE")
    try:
        connection.execute(f"PRAGMA user_version = {version_of(connection)}")
    finally:
        connection.execute("ROLLBACK")


def should_be_checked(path: Path) -> bool:
    """Return whether the file is looked through at opening: it is small, or its last writer was cut off.

    A card that reads 20 MB a second needs 50 s for a gigabyte; the sorter who closed the console properly
    need not wait for that every morning.
    """
    log = path.with_name(path.name + "-wal")
    was_cut_off = log.exists() and log.stat().st_size > 0
    return was_cut_off or not path.exists() or path.stat().st_size <= CHECKED_ALWAYS_BYTES


_IN_MAIN = "*** in database main ***"
"""Stands before what SQLite found, in a line of its own."""


def check_quickly(connection: sqlite3.Connection, path: Path) -> None:
    """Raise unless SQLite finds the file's structure whole.

    Raises:
        StoreDamaged: With the first thing that SQLite found.
    """
    finding = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
    if finding != "ok":
        said = " ".join(finding.replace(_IN_MAIN, "").split())
        raise StoreDamaged(
            f"{path} is damaged ({said}). Keep the file as it is, see what can be saved with "
            '"baywright verify", and restore the newest backup.'
        )


@contextmanager
def one_view(source: LedgerSource) -> Iterator[sqlite3.Connection]:
    """Give the connection for several queries that must see the same state of the ledger."""
    connection = source.connection
    if connection.in_transaction:
        yield connection
        return
    with told_plainly(source.path):
        connection.execute("BEGIN")
        try:
            yield connection
        finally:
            # Nothing was written; ending the view costs no sync of the disk.
            if connection.in_transaction:
                connection.execute("ROLLBACK")
