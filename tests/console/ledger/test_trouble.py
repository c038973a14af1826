"""Full, read-only, broken and strange disks and files: a clear message, and nothing acknowledged is lost."""

import multiprocessing
import os
import resource
import signal
import sqlite3
from collections import namedtuple
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from console.ledger.keeping.space import space_warning
from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.connection import should_be_checked
from console.ledger.rows.errors import StoreDamaged, StoreError, StoreReadOnly
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.rows import RowKind
from console.ledger.views.tally import tally
from tests.console.ledger.clock import brass, open_ledger

NOBODY = 65534


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that everybody can reach, unlike pytest's own."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o777)
        yield folder
        folder.chmod(0o777)


def as_nobody(function: Callable[[Path], str], store: Path) -> str:
    """Return what the function says when it runs without the rights of root, in a process of its own."""
    receive, send = multiprocessing.Pipe(duplex=False)

    def child() -> None:
        if os.geteuid() == 0:
            os.setuid(NOBODY)
        send.send(function(store))

    process = multiprocessing.get_context("fork").Process(target=child)
    process.start()
    assert receive.poll(20), "the child said nothing"
    process.join()
    return str(receive.recv())


def message_of_writer(store: Path) -> str:
    """Return what a console hears that opens the store for writing."""
    try:
        open_ledger(store).close()
    except StoreReadOnly as error:
        return str(error)
    return "opened"


def pieces_for_reader(store: Path) -> str:
    """Return how many pieces a reader sees."""
    with LedgerReader.open(store) as reader:
        return str(tally(reader, "T1-0001").pieces)


def fill(store: Path) -> None:
    """Make a closed store with one piece."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        ledger.add_piece(brass(), "Ada")


def test_read_only_folder_is_told_to_writers_and_open_to_readers(open_folder: Path) -> None:
    """In a folder that cannot be written a console says so, and reports still work."""
    store = open_folder / "yard.sqlite3"
    fill(store)
    (open_folder / "yard.sqlite3.lock").unlink()
    store.chmod(0o444)
    open_folder.chmod(0o555)

    assert "cannot be written" in as_nobody(message_of_writer, store)
    assert as_nobody(pieces_for_reader, store) == "1"


def test_read_only_file_is_told_to_writers(open_folder: Path) -> None:
    """A store file without write permission gives a message that says so."""
    store = open_folder / "yard.sqlite3"
    fill(store)
    (open_folder / "yard.sqlite3.lock").unlink()
    store.chmod(0o444)

    assert "read-only" in as_nobody(message_of_writer, store)


def test_full_store_refuses_the_act_and_keeps_the_rest(ledger: Ledger, store: Path) -> None:
    """When SQLite finds no room, the piece is refused whole, earlier ones stay, later ones go in again."""
    pages = ledger.connection.execute("PRAGMA page_count").fetchone()[0]
    ledger.connection.execute(f"PRAGMA max_page_count = {pages + 2}")
    kept = 0
    with pytest.raises(StoreReadOnly, match="is full; this act was not written, all earlier ones are safe"):
        while True:
            ledger.add_piece(brass(), "Ada")
            kept += 1

    with LedgerReader.open(store) as reader:
        assert tally(reader, "T1-0001").pieces == kept
        assert verify(reader).is_whole
    ledger.connection.execute(f"PRAGMA max_page_count = {pages + 100}")
    ledger.add_piece(brass(), "Ada")

    assert tally(ledger, "T1-0001").pieces == kept + 1


def pieces_until_the_system_refuses(store: Path) -> str:
    """Enter pieces under a limit of file size until one is refused; return how many were taken, and why."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
    kept = 0
    ledger = open_ledger(store)
    ledger.open_run("Ada")
    try:
        while True:
            ledger.add_piece(brass(), "Ada")
            kept += 1
    except StoreError as error:
        message = str(error)
    ledger.close()
    return f"{kept} {message}"


def test_writes_refused_by_the_system_lose_nothing(open_folder: Path) -> None:
    """When the system itself refuses to write on, every acknowledged piece is found at the next opening."""
    store = open_folder / "yard.sqlite3"

    kept, message = as_nobody(pieces_until_the_system_refuses, store).split(" ", 1)

    assert int(kept) > 0
    assert "this act was not written" in message
    with LedgerReader.open(store) as reader:
        assert tally(reader, "T1-0001").pieces == int(kept)
        assert verify(reader).is_whole


@pytest.mark.parametrize("content", [b"hello, I am no store at all, but long enough to look at" * 100, b"x"])
def test_garbage_is_no_store(store: Path, content: bytes) -> None:
    """A file that is something else is refused, by writers and readers, and left as it is."""
    store.write_bytes(content)

    with pytest.raises(StoreDamaged, match="baywright verify"):
        open_ledger(store)
    with pytest.raises(StoreDamaged):
        LedgerReader.open(store)

    assert store.read_bytes() == content


def test_damaged_store_is_not_written_to(store: Path) -> None:
    """A store whose structure is broken is refused before anything is added to it."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        with ledger.act():
            for _ in range(200):
                ledger.add_piece(brass(), "Ada")
    data = bytearray(store.read_bytes())
    data[8192:16384] = b"\xa5" * 8192
    store.write_bytes(bytes(data))

    with pytest.raises(StoreDamaged, match="damaged"):
        open_ledger(store)


def test_large_store_is_looked_through_only_after_a_cut(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A large store that was closed properly opens at once; one whose writer was cut off is checked."""
    fill(store)
    assert should_be_checked(store)
    monkeypatch.setattr("console.ledger.rows.connection.CHECKED_ALWAYS_BYTES", 1000)
    assert not should_be_checked(store)

    ledger = open_ledger(store)
    ledger.add_piece(brass(), "Ada")

    assert should_be_checked(store)
    ledger.close()
    assert not should_be_checked(store)


def test_missing_folder_is_told(tmp_path: Path) -> None:
    """A yard folder that is not there gives a message that names it."""
    with pytest.raises(StoreError, match="no folder"):
        open_ledger(tmp_path / "nowhere" / "yard.sqlite3")


def test_strange_writer_is_told_and_nothing_is_written(ledger: Ledger, store: Path) -> None:
    """Another program that holds the file makes the act fail with a message after a second, not hang."""
    with closing(sqlite3.connect(store, isolation_level=None)) as stranger:
        stranger.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="Another program writes"):
            ledger.add_piece(brass(), "Ada")
        stranger.execute("ROLLBACK")

    ledger.add_piece(brass(), "Ada")
    assert tally(ledger, "T1-0001").pieces == 1


def test_unknown_json_is_a_fault_and_leaves_no_row(ledger: Ledger) -> None:
    """A value that JSON cannot hold is refused before anything is written; NaN becomes null."""
    with pytest.raises(TypeError, match="cannot keep a object"):
        ledger.append(RowKind.NOTE, person="Ada", run_id="T1-0001", body={"thing": object()})

    row = ledger.append(RowKind.NOTE, person="Ada", run_id="T1-0001", body={"text": "x", "z": float("nan")})
    assert row.body == {"text": "x", "z": None}
    assert row.seq == 2


def test_little_space_is_warned_of(monkeypatch: pytest.MonkeyPatch, store: Path) -> None:
    """Below 50 MB of free space there is a warning that says how much is left."""
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr("shutil.disk_usage", lambda _: usage(100, 0, 49_000_000))
    warning = space_warning(store)
    assert warning is not None
    assert "Only 49 MB" in warning

    monkeypatch.setattr("shutil.disk_usage", lambda _: usage(100, 0, 50_000_000))
    assert space_warning(store) is None
