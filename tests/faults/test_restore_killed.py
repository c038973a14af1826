"""A restore that is killed, stopped or refused leaves the old store or the new one, whole, never none."""

import os
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from console.cli import main
from console.ledger.keeping.backup import backup
from console.ledger.keeping.verify import verify
from console.ledger.rows.queries import LedgerReader
from tests.console.ledger.clock import brass, open_ledger
from tests.faults.killing_at import killed_at_every_step

Capture = pytest.CaptureFixture[str]
OLD, NEW = 6, 3
"""Rows of the present store, and of the backup."""


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """A folder with a present store, and what it was two rows after the backup, ready to be put back."""
    store = tmp_path / "yard" / "yard.sqlite3"
    store.parent.mkdir()
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        for _ in range(NEW - 1):
            ledger.add_piece(brass(), "Ada")
        backup(store, tmp_path / "copy.sqlite3")
        for _ in range(OLD - NEW):
            ledger.add_piece(brass(2500), "Ada")
    shutil.copytree(store.parent, tmp_path / "as it was")
    return store.parent


def restored(yard: Path, *more: str) -> int:
    return main(["restore", str(yard.parent / "copy.sqlite3"), "--overwrite", "--yard", str(yard), *more])


def rows_of(store: Path) -> int:
    """Return how many rows a store has; it is whole."""
    with LedgerReader.open(store) as reader:
        found = verify(reader)
    assert found.is_whole, found.findings
    return found.rows


def test_killed_at_every_step_it_leaves_a_whole_store(yard: Path) -> None:
    """Wherever a kill falls, the old or the new store is there, and the old one is not lost."""

    def prepare() -> None:
        shutil.rmtree(yard)
        shutil.copytree(yard.parent / "as it was", yard)

    def look(step: int) -> None:
        assert (yard / "yard.sqlite3").exists(), f"no store after a kill at step {step}"
        found = {
            rows_of(file) for file in yard.glob("yard.sqlite3*") if file.suffix in (".sqlite3", ".replaced-1")
        }
        assert OLD in found, f"the old store is gone after a kill at step {step}"
        assert rows_of(yard / "yard.sqlite3") in (OLD, NEW)

    assert killed_at_every_step(prepare, lambda: restored(yard, "--lose", "3"), look) > 5
    assert rows_of(yard / "yard.sqlite3") == NEW


def test_a_log_of_a_killed_console_does_not_come_back(yard: Path) -> None:
    """Rows that stood only in the old store's log are kept with the old store, and never join the new one."""
    killed = yard.parent / "killed"
    with open_ledger(yard / "yard.sqlite3") as ledger:
        ledger.add_piece(brass(), "Ada")
        shutil.copytree(yard, killed)
    assert (killed / "yard.sqlite3-wal").stat().st_size > 0

    assert restored(killed, "--lose", "4") == 0

    assert rows_of(killed / "yard.sqlite3") == NEW
    assert rows_of(killed / "yard.sqlite3.replaced-1") == OLD + 1
    assert not (killed / "yard.sqlite3-wal").exists()


def test_a_damaged_log_is_set_aside_with_its_store(yard: Path) -> None:
    """A log that SQLite cannot fold in goes aside with its store; the new store has its own rows only."""
    store = yard / "yard.sqlite3"
    with open_ledger(store) as ledger:
        ledger.add_piece(brass(), "Ada")
        shutil.copy(f"{store}-wal", yard.parent / "log")
    data = bytearray(store.read_bytes())
    data[:4096] = b"\xa5" * 4096
    store.write_bytes(bytes(data))
    shutil.copy(yard.parent / "log", f"{store}-wal")

    assert restored(yard, "--lose", "0") == 0

    assert not Path(f"{store}-wal").exists(), "a log of the old store would bring its rows into the new one"
    assert rows_of(store) == NEW


def test_what_is_lost_is_told_and_asked_for(yard: Path, capsys: Capture) -> None:
    """Rows, pieces and weight that would be lost are told; without the word nothing is touched."""
    before = (yard / "yard.sqlite3").read_bytes()

    assert restored(yard) == 2

    said = capsys.readouterr().err
    assert "rows 4 to 6" in said
    assert "3 entries of 3 pieces, 7.50 kg; runs T1-0001" in said
    assert "--lose 3" in said
    assert (yard / "yard.sqlite3").read_bytes() == before
    assert restored(yard, "--lose", "2") == 2
    assert restored(yard, "--lose", "3") == 0


def test_a_backup_with_a_changed_row_is_refused(yard: Path, capsys: Capture) -> None:
    """A backup whose chain is broken is not put in the place of a store; the row is named."""
    with closing(sqlite3.connect(yard.parent / "copy.sqlite3")) as plain, plain:
        guard = plain.execute("SELECT sql FROM sqlite_master WHERE name = 'ledger_never_changes'").fetchone()[
            0
        ]
        plain.execute("DROP TRIGGER ledger_never_changes")
        plain.execute("UPDATE ledger SET mass_g = 9999 WHERE seq = 2")
        plain.execute(guard)

    assert restored(yard, "--lose", "3") == 2

    assert "row 2" in capsys.readouterr().err
    assert rows_of(yard / "yard.sqlite3") == OLD
    assert [file.name for file in yard.iterdir() if "unfinished" in file.name] == []


def test_a_failing_swap_puts_everything_back(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the last rename is refused the old store is there with all its rows."""

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", refuse)

    assert restored(yard, "--lose", "3") == 2
    assert rows_of(yard / "yard.sqlite3") == OLD
