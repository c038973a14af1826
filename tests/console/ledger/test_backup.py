"""Backups: made beside a console at work, whole, one plain file; restored without losing anything."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from console.ledger.keeping.backup import backup, restore
from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import StoreDamaged, StoreError, StoreLocked
from console.ledger.rows.queries import LedgerReader, last_row
from console.ledger.views.tally import tally
from tests.console.ledger.clock import START, brass, open_ledger


def test_backup_of_a_store_in_use_holds_every_piece(ledger: Ledger, store: Path, tmp_path: Path) -> None:
    """A copy made while the console is open has the last piece, and is whole."""
    ledger.add_piece(brass(), "Ada")

    copy = backup(store, tmp_path / "copy.sqlite3")

    with LedgerReader.open(copy) as reader:
        assert last_row(reader) == last_row(ledger)
        assert verify(reader).is_whole


def test_backup_reads_from_write_protected_media(ledger: Ledger, store: Path, tmp_path: Path) -> None:
    """The copy is one file without a write-ahead log, so that it opens where nothing can be written."""
    folder = tmp_path / "stick"
    folder.mkdir()

    copy = backup(store, folder)

    assert copy == folder / store.name
    assert [path.name for path in folder.iterdir()] == [store.name]
    with closing(sqlite3.connect(copy)) as plain:
        assert plain.execute("PRAGMA journal_mode").fetchone() == ("delete",)


def test_backup_never_overwrites(ledger: Ledger, store: Path, tmp_path: Path) -> None:
    """A file that is there already is left alone."""
    target = tmp_path / "holiday.jpg"
    target.write_bytes(b"picture")

    with pytest.raises(StoreError, match="never overwrites"):
        backup(store, target)

    assert target.read_bytes() == b"picture"


def test_backup_to_a_missing_folder_says_so(ledger: Ledger, store: Path, tmp_path: Path) -> None:
    """A target that cannot be written gives a message and leaves nothing behind."""
    with pytest.raises(StoreError, match="cannot be opened"):
        backup(store, tmp_path / "no" / "such" / "copy")


def test_restore_refuses_to_replace_a_store_silently(store: Path, tmp_path: Path) -> None:
    """Without being told, a restore touches no existing store; being told, it keeps the old one aside."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        copy = backup(store, tmp_path / "copy.sqlite3")
        ledger.add_piece(brass(), "Ada")
    before = store.read_bytes()

    with pytest.raises(StoreError, match="--overwrite"):
        restore(copy, store, at=START)
    assert store.read_bytes() == before
    restore(copy, store, at=START, overwrite=True)

    with LedgerReader.open(store) as restored:
        assert tally(restored, "T1-0001").pieces == 0
    with LedgerReader.open(store.with_name(store.name + ".replaced-1")) as aside:
        assert tally(aside, "T1-0001").pieces == 1


def test_restore_to_a_new_place_resumes_the_run(ledger: Ledger, store: Path, tmp_path: Path) -> None:
    """A backup restored on another machine works on where it was made."""
    ledger.add_piece(brass(), "Ada")
    copy = backup(store, tmp_path / "copy.sqlite3")
    (tmp_path / "other").mkdir()

    restore(copy, tmp_path / "other" / "yard.sqlite3", at=START)

    with open_ledger(tmp_path / "other" / "yard.sqlite3") as other:
        other.add_piece(brass(), "Ada")
        assert tally(other, "T1-0001").pieces == 2
        assert verify(other).is_whole


def test_restore_of_garbage_is_refused(store: Path, tmp_path: Path) -> None:
    """A file that is no store is not put in the place of one."""
    garbage = tmp_path / "copy.sqlite3"
    garbage.write_bytes(os.urandom(9000))

    with pytest.raises(StoreDamaged):
        restore(garbage, store, at=START)

    assert not store.exists()


def test_restore_under_an_open_console_is_refused(ledger: Ledger, store: Path, tmp_path: Path) -> None:
    """While a console has the store open, nothing is put in its place."""
    copy = backup(store, tmp_path / "copy.sqlite3")

    with pytest.raises(StoreLocked, match="terminal T1"):
        restore(copy, store, at=START, overwrite=True)

    ledger.add_piece(brass(), "Ada")
    assert tally(ledger, "T1-0001").pieces == 1
