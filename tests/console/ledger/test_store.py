"""The store: on disk before it returns, append-only, one writer, resumed."""

import sqlite3
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import LedgerRefusal, StoreDamaged, StoreError, StoreLocked, StoreTooNew
from console.ledger.rows.queries import LedgerReader, kept_evidence, last_row, row_by_id
from console.ledger.rows.row_ids import RowIds
from console.ledger.rows.runs import open_run_of
from console.ledger.rows.schema import STEPS
from console.ledger.views.piece_state import piece_states
from console.ledger.views.tally import tally
from tests.console.ledger.clock import START, SteppingClock, brass, open_ledger

REST = (
    "kind, at_utc, person, terminal, run_id, refers, bay, grade_id, mass_g, pieces, tag, body, prev_hash, "
    "row_hash, evidence"
)
GUARD_TRIPPING = [
    "UPDATE ledger SET mass_g = 1 WHERE seq = 2",
    "DELETE FROM ledger WHERE seq = 2",
    "INSERT OR REPLACE INTO ledger SELECT * FROM ledger WHERE seq = 2",
    f"REPLACE INTO ledger SELECT 99, row_id, {REST} FROM ledger WHERE seq = 2",
    f"INSERT INTO ledger SELECT max(seq) + 1, 'X', {REST} FROM ledger",
]


def test_piece_is_on_disk_when_add_returns(ledger: Ledger, store: Path) -> None:
    """A piece can be read through another connection as soon as add_piece has returned."""
    row = ledger.add_piece(brass(), "Ada")

    with LedgerReader.open(store) as reader:
        assert row_by_id(reader, row.row_id) == row
        assert last_row(reader) == row
        assert kept_evidence(reader, row.row_id) == {"candidates": [{"grade": "C36000", "probability": 0.97}]}


def test_every_commit_syncs_the_disk(ledger: Ledger) -> None:
    """The writer runs in write-ahead mode with one full sync for each commit."""
    pragmas = {
        name: ledger.connection.execute(f"PRAGMA {name}").fetchone()[0]
        for name in ("journal_mode", "synchronous", "foreign_keys", "trusted_schema", "recursive_triggers")
    }

    assert pragmas == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "trusted_schema": 0,
        "recursive_triggers": 1,
    }


@pytest.mark.parametrize("statement", GUARD_TRIPPING)
def test_guards_refuse_what_is_not_an_addition(ledger: Ledger, store: Path, statement: str) -> None:
    """No UPDATE, DELETE, REPLACE or row out of order passes, even on a plain sqlite3 connection."""
    ledger.add_piece(brass(), "Ada")
    ledger.add_piece(brass(300), "Ada")
    before = ledger.connection.execute("SELECT * FROM ledger").fetchall()
    stranger = sqlite3.connect(store)

    with pytest.raises(sqlite3.IntegrityError, match="ledger row"):
        stranger.execute(statement)
    stranger.close()

    assert ledger.connection.execute("SELECT * FROM ledger").fetchall() == before


def test_reopening_resumes_the_open_run(store: Path) -> None:
    """Quit and reopen: the run is open, worked by the same person, with the same pieces."""
    with open_ledger(store) as first:
        first.open_run("Ada")
        first.add_piece(brass(), "Ada")
        before = piece_states(first, "T1-0001"), tally(first, "T1-0001")

    with open_ledger(store) as second:
        run = open_run_of(second)
        assert run is not None
        assert (run.run_id, run.person) == ("T1-0001", "Ada")
        assert (piece_states(second, run.run_id), tally(second, run.run_id)) == before


def test_ids_stay_in_order_when_the_clock_goes_back(store: Path) -> None:
    """Row ids sort in the order of the rows, also after a restart with an earlier clock."""
    with open_ledger(store) as first:
        first.open_run("Ada")
        for _ in range(20):
            first.add_piece(brass(), "Ada")

    with Ledger.open(store, now=SteppingClock(START - timedelta(days=1)), terminal="T1") as second:
        for _ in range(20):
            second.add_piece(brass(), "Ada")
        ids = [row_id for (row_id,) in second.connection.execute("SELECT row_id FROM ledger ORDER BY seq")]

    assert ids == sorted(ids)
    assert len(set(ids)) == len(ids)


def test_ids_are_unique_within_one_millisecond() -> None:
    """Many ids of the same instant are all different and in order."""
    ids = RowIds("T1")

    made = [ids.next_id(START) for _ in range(5000)]

    assert made == sorted(set(made))


def test_second_writer_hears_who_holds_the_store(ledger: Ledger, store: Path) -> None:
    """A second console gets a message that names the first and says what works beside it."""
    with pytest.raises(StoreLocked, match=r"terminal T1, process \d+, since 2031-05-02"):
        open_ledger(store, terminal="T2")


def test_second_process_is_locked_out_and_lock_dies_with_its_holder(store: Path) -> None:
    """The lock holds between processes, and is gone when its process was killed."""
    program = (
        "import sys, pathlib; from tests.console.ledger.clock import open_ledger\n"
        "ledger = open_ledger(pathlib.Path(sys.argv[1])); print('open', flush=True); sys.stdin.read()"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", program, str(store)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None and child.stdin is not None
    assert child.stdout.readline() == "open\n"

    with pytest.raises(StoreLocked, match=f"process {child.pid}"):
        open_ledger(store)
    child.kill()
    child.wait()
    child.stdin.close()
    child.stdout.close()

    open_ledger(store).close()


def test_ledger_opened_by_one_thread_is_used_and_closed_by_another(store: Path) -> None:
    """A worker thread may open the ledger; the lock is free again once the first thread has closed it."""
    with ThreadPoolExecutor(max_workers=1) as worker:
        ledger = worker.submit(open_ledger, store).result()
    ledger.open_run("Ada")
    ledger.add_piece(brass(), "Ada")
    ledger.close()

    open_ledger(store).close()


def test_reader_neither_waits_nor_blocks(ledger: Ledger, store: Path) -> None:
    """A reader sees the last commit while the writer is in the middle of an act, and the act goes through."""
    ledger.add_piece(brass(), "Ada")
    with LedgerReader.open(store) as reader, ledger.act():
        ledger.add_piece(brass(500), "Ada")

        assert tally(reader, "T1-0001").mass_g == 1200

    assert tally(ledger, "T1-0001").mass_g == 1700


def test_reader_cannot_write(ledger: Ledger, store: Path) -> None:
    """A reader's connection refuses to write."""
    with LedgerReader.open(store) as reader, pytest.raises(sqlite3.OperationalError, match="readonly"):
        reader.connection.execute("DELETE FROM ledger")


def test_reader_without_store_says_how_one_is_made(store: Path) -> None:
    """Looking at a yard that never opened a console gives a message and makes no file."""
    with pytest.raises(StoreError, match="no store at"):
        LedgerReader.open(store)

    assert not store.exists()


def test_newer_store_is_refused_untouched(store: Path) -> None:
    """A store of a newer program is not opened, and not a byte of it changes."""
    open_ledger(store).close()
    plain = sqlite3.connect(store)
    plain.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    plain.close()
    before = store.read_bytes()

    with pytest.raises(StoreTooNew, match="newer Baywright"):
        open_ledger(store)
    with pytest.raises(StoreTooNew):
        LedgerReader.open(store)

    assert store.read_bytes() == before


def test_strange_database_is_refused(store: Path) -> None:
    """A database of another program is left alone."""
    plain = sqlite3.connect(store)
    plain.execute("CREATE TABLE pigeons (name TEXT)")
    plain.close()

    with pytest.raises(StoreDamaged, match="another program"):
        open_ledger(store)


def test_act_that_fails_half_way_leaves_nothing(ledger: Ledger) -> None:
    """One act is one transaction: when its second half fails, the first is not there either."""
    with pytest.raises(LedgerRefusal), ledger.act():
        ledger.add_piece(brass(), "Ada")
        ledger.add_piece(brass(), "  ")

    assert piece_states(ledger, "T1-0001") == []
    ledger.add_piece(brass(), "Ada")
    assert len(piece_states(ledger, "T1-0001")) == 1


def test_hostile_text_is_kept_as_data(ledger: Ledger, store: Path) -> None:
    """Markup, SQL, escapes, NUL and broken UTF-8 go in and come out without harm."""
    text = "[red]x[/] '); DROP TABLE ledger; -- \x1b[2J \0 " + chr(0xDCFF) + " naïve ✓"

    ledger.note(text, text)

    with LedgerReader.open(store) as reader:
        row = last_row(reader)
        assert row is not None
        assert row.body["text"] == text.replace(chr(0xDCFF), "?").replace("\0", " ") == row.person
