"""Nothing is acknowledged into a store that was removed, replaced or written to by somebody else."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import StoreReplaced
from tests.console.ledger.clock import brass
from tests.driven.pty_session import PtySession


def remove(store: Path) -> None:
    store.unlink()


def replace_by_a_copy(store: Path) -> None:
    shutil.copy(store, store.with_name("copy"))
    os.replace(store.with_name("copy"), store)


def write_over(store: Path) -> None:
    store.write_bytes(store.with_name("older").read_bytes())


def remove_the_log(store: Path) -> None:
    store.with_name(store.name + "-wal").unlink()


def remove_the_lock(store: Path) -> None:
    store.with_name(store.name + ".lock").unlink()


def add_a_row(store: Path) -> None:
    with closing(sqlite3.connect(store)) as plain, plain:
        plain.execute("DROP TRIGGER ledger_never_shrinks")
        plain.execute("DELETE FROM ledger WHERE seq = (SELECT max(seq) FROM ledger)")


CHANGES = [remove, replace_by_a_copy, write_over, remove_the_log, remove_the_lock, add_a_row]


@pytest.mark.parametrize("change", CHANGES)
def test_a_changed_store_takes_no_further_act(
    ledger: Ledger, store: Path, change: Callable[[Path], None]
) -> None:
    """Whatever happened to the files under an open console, the next act is refused and says so."""
    ledger.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copy(store, store.with_name("older"))
    ledger.add_piece(brass(), "Ada")
    ledger.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    ledger.add_piece(brass(), "Ada")
    ledger.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    change(store)

    for _ in range(2):
        with pytest.raises(StoreReplaced, match="not written"):
            ledger.add_piece(brass(), "Ada")


def test_a_log_folded_in_by_another_program_is_no_change(ledger: Ledger, store: Path) -> None:
    """Somebody who looks into the store with another program, and thereby folds the log in, stops nobody."""
    ledger.add_piece(brass(), "Ada")
    with closing(sqlite3.connect(store)) as plain:
        plain.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()

    ledger.add_piece(brass(), "Ada")

    assert verify(ledger).is_whole


def test_the_console_stops_with_the_line_kept(yard_folder: Path) -> None:
    """On a real terminal: the store is removed, the next piece is not acknowledged, its line is kept."""
    session = PtySession(["-m", "console.cli", "--yard", str(yard_folder)], size=(100, 30))
    try:
        session.wait_for("since")
        session.send("12.4 304\r")
        session.wait_for("done 12.40 kg")
        (yard_folder / "yard.sqlite3").unlink()
        session.send("7.7 304\r")
        assert session.end() == 1
        assert b"was removed" in b" ".join(session.painted.split())
    finally:
        session.close()
    assert (yard_folder / "yard.half-typed").read_text(encoding="utf-8").strip() == "7.7 304"
