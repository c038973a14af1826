"""An older store is brought up to date in place, after a backup, all steps or none."""

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import StoreError
from console.ledger.rows.queries import LedgerReader, last_row
from console.ledger.rows.schema import STEPS, Step, version_of
from console.ledger.views.tally import tally
from tests.console.ledger.clock import SteppingClock, brass, open_ledger

WEATHER: Step = (
    "ALTER TABLE ledger ADD COLUMN weather TEXT",
    "CREATE INDEX ledger_by_weather ON ledger(weather)",
)
BROKEN: Step = ("ALTER TABLE ledger ADD COLUMN tide TEXT", "ALTER TABLE no_such_table ADD COLUMN tide TEXT")


@pytest.fixture
def old_store(store: Path) -> Path:
    """A store of the present version, with a piece: an old one to a program with more steps."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        ledger.add_piece(brass(), "Ada")
    return store


def open_with(store: Path, steps: Sequence[Step]) -> Ledger:
    """Return the ledger as a later program with these steps would open it."""
    return Ledger.open(store, now=SteppingClock(), terminal="T1", steps=steps)


def shape(store: Path) -> tuple[int, list[str]]:
    """Return version and column names of a store."""
    with closing(sqlite3.connect(store)) as plain:
        return version_of(plain), [column[1] for column in plain.execute("PRAGMA table_info(ledger)")]


def test_upgrade_keeps_rows_and_guards_and_makes_a_backup_first(old_store: Path) -> None:
    """After the upgrade the rows are as they were, guarded as before, and the old store lies beside it."""
    with LedgerReader.open(old_store) as reader:
        before = last_row(reader)

    with open_with(old_store, (*STEPS, WEATHER)) as ledger:
        assert last_row(ledger) == before
        ledger.add_piece(brass(), "Ada")
        assert tally(ledger, "T1-0001").pieces == 2
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            ledger.connection.execute("UPDATE ledger SET weather = 'rain'")

    version, columns = shape(old_store)
    assert version == len(STEPS) + 1
    assert columns[-1] == "weather"
    (copy,) = old_store.parent.glob("*.backup")
    assert copy.name == f"yard.sqlite3.version-{len(STEPS)}.20310502T060002.backup"
    with LedgerReader.open(copy) as reader:
        assert last_row(reader) == before


TIDE: Step = ("ALTER TABLE ledger ADD COLUMN tide TEXT",)
MOON: Step = ("ALTER TABLE ledger ADD COLUMN moon TEXT", "CREATE INDEX ledger_by_moon ON ledger(moon)")
LATER = (*STEPS, WEATHER, TIDE, MOON)


@pytest.mark.parametrize("version", range(1, len(LATER) + 1))
def test_every_earlier_version_climbs_to_the_newest(store: Path, version: int) -> None:
    """From each version that was or will be, the rows come along, and a backup lies beside the store."""
    with open_with(store, LATER[:version]) as old:
        old.open_run("Ada")
        old.add_piece(brass(), "Ada")

    with open_with(store, LATER) as ledger:
        ledger.add_piece(brass(700), "Ada")
        assert tally(ledger, "T1-0001").mass_g == 1900
        assert [finding for finding in verify(ledger).findings if finding.seq is not None] == []

    new, columns = shape(store)
    assert new == len(LATER) and columns[-3:] == ["weather", "tide", "moon"]
    backups = [file.name.split(".")[2] for file in store.parent.glob("*.backup")]
    assert backups == ([f"version-{version}"] if version < len(LATER) else [])


def test_broken_upgrade_leaves_the_old_store(old_store: Path) -> None:
    """When a step fails, no step was done and the store opens as before."""
    before = shape(old_store)

    with pytest.raises(StoreError, match="no_such_table"):
        open_with(old_store, (*STEPS, WEATHER, BROKEN))

    assert shape(old_store) == before
    with open_ledger(old_store) as ledger:
        assert tally(ledger, "T1-0001").pieces == 1


def test_store_of_this_version_is_opened_without_backup(old_store: Path) -> None:
    """Nothing is copied when nothing changes."""
    open_ledger(old_store).close()

    assert list(old_store.parent.glob("*.backup")) == []
