"""No damage locks anybody out: start, verify and salvage answer, and every whole row is saved."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.ledger.keeping.salvage import salvage
from console.ledger.rows.errors import StoreDamaged
from tests.console.ledger.clock import SteppingClock, brass, open_ledger
from tests.driven.pty_session import PtySession
from tests.faults.damaging import PAGE, PIECES, make_store, tried

Capture = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store of 61 rows."""
    store = tmp_path_factory.mktemp("whole") / "yard.sqlite3"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", str(store.parent / "state"))
        make_store(store)
    return store


def test_many_damages_end_in_sentences(whole: Path, yard_folder: Path) -> None:
    """Whatever was changed: start, verify and salvage raise only errors of ours, and no row is missed."""
    for seed in range(10):
        tried(yard_folder, whole, seed)


def test_a_damaged_name_that_is_no_text_is_told_as_damage(whole: Path, yard_folder: Path) -> None:
    """SQLite quotes the damaged name in its message, which is no UTF-8 then: still a sentence."""
    store = yard_folder / "yard.sqlite3"
    store.write_bytes(
        whole.read_bytes()
        .replace(b"triggerledger_never_changes", b"trigger\xc5\xc5dger_never_changes")
        .replace(b"CREATE TRIGGER ledger_never_changes", b"CREATE TRXGGER ledger_never_changes")
    )

    for go_on in (False, True):
        with pytest.raises(StoreDamaged, match="is damaged.*verify"):
            Desk.open(yard_folder, now=SteppingClock(), go_on=go_on)
    assert len(saved_lines(store)) == PIECES + 1


def saved_lines(store: Path) -> list[dict[str, object]]:
    target = store.with_name("rows.jsonl")
    target.unlink(missing_ok=True)
    salvage(store, target)
    return [json.loads(line) for line in target.read_text(encoding="utf-8").splitlines()]


def test_salvage_equals_what_sqlite_reads(whole: Path, tmp_path: Path) -> None:
    """Of a whole store every row is saved, value by value as SQLite gives it; long rows too."""
    store = tmp_path / "yard.sqlite3"
    store.write_bytes(whole.read_bytes())
    with closing(sqlite3.connect(store)) as plain:
        plain.row_factory = sqlite3.Row
        wanted = [dict(row) for row in plain.execute("SELECT * FROM ledger ORDER BY seq")]

    lines = saved_lines(store)

    assert all(line.pop("is_whole") for line in lines)
    assert lines == wanted


def test_rows_that_stand_in_the_log_only_are_saved(store: Path) -> None:
    """Rows of a killed console lie in the log; they are saved with the others."""
    ledger = open_ledger(store)
    ledger.open_run("Ada")
    ledger.add_piece(brass(), "Ada")
    copy = store.parent / "killed" / store.name
    copy.parent.mkdir()
    for file in store.parent.glob("yard.sqlite3*"):
        if file.is_file():
            (copy.parent / file.name).write_bytes(file.read_bytes())
    ledger.close()

    assert [line["seq"] for line in saved_lines(copy) if line["is_whole"]] == [1, 2]


@pytest.mark.parametrize("name", ["the head", "the first page", "the table's name"])
def test_a_store_that_sqlite_does_not_open_is_salvaged(whole: Path, tmp_path: Path, name: str) -> None:
    """Without a head, without a first page, without a table: all rows on the other pages are saved."""
    store = tmp_path / "yard.sqlite3"
    data = bytearray(whole.read_bytes())
    if name == "the table's name":
        store.write_bytes(data)
        with closing(sqlite3.connect(store)) as plain, plain:
            plain.execute("DROP TRIGGER ledger_never_shrinks")
            plain.execute("PRAGMA writable_schema = ON")
            plain.execute("DELETE FROM sqlite_master WHERE name = 'ledger'")
    else:
        data[: 100 if name == "the head" else PAGE] = b"\xa5" * (100 if name == "the head" else PAGE)
        store.write_bytes(data)

    assert {line["seq"] for line in saved_lines(store) if line["is_whole"]} == set(range(1, PIECES + 2))


def test_the_status_of_salvage_is_true(whole: Path, yard_folder: Path, capsys: Capture) -> None:
    """All rows: 0. One cut off, one changed, or none at all: 1, with how many of how many."""
    store, rows = yard_folder / "yard.sqlite3", yard_folder / "rows.jsonl"
    on = ["salvage", str(rows), "--yard", str(yard_folder)]
    store.write_bytes(whole.read_bytes())
    assert main(on) == 0
    assert "61 whole rows of 61" in capsys.readouterr().out

    rows.unlink()
    with closing(sqlite3.connect(store)) as plain, plain:
        plain.execute("DROP TRIGGER ledger_never_changes")
        plain.execute("UPDATE ledger SET mass_g = 7 WHERE seq = 9")
    assert main(on) == 1
    assert "60 whole rows of 61" in capsys.readouterr().out

    rows.unlink()
    store.write_bytes(b"\0" * 8192)
    assert main(on) == 1
    assert "0 whole rows of" in capsys.readouterr().out


def test_a_row_number_beyond_measure_holds_nobody_up(whole: Path, yard_folder: Path) -> None:
    """A row that says it is number 10^15 is one row, not as many questions."""
    store = yard_folder / "yard.sqlite3"
    store.write_bytes(whole.read_bytes())
    with closing(sqlite3.connect(store)) as plain, plain:
        plain.execute("DROP TRIGGER ledger_never_changes")
        plain.execute("UPDATE ledger SET seq = 1000000000000000 WHERE seq = 61")
    data = bytearray(store.read_bytes())
    data[20 * PAGE : 21 * PAGE] = b"\xa5" * PAGE
    store.write_bytes(data)

    assert main(["verify", "--yard", str(yard_folder)]) == 1
    assert main(["salvage", str(yard_folder / "rows.jsonl"), "--yard", str(yard_folder)]) == 1


def test_the_console_offers_what_can_be_done_by_number(whole: Path, yard_folder: Path) -> None:
    """On a real terminal: what is damaged is said, 2 salvages, and the rows are there."""
    store = yard_folder / "yard.sqlite3"
    data = bytearray(whole.read_bytes())
    data[20 * PAGE : 21 * PAGE] = b"\xa5" * PAGE
    store.write_bytes(data)
    session = PtySession(["-m", "console.cli", "--yard", str(yard_folder)], size=(100, 30))
    try:
        session.wait_for("Save every whole row into a file of text")
        session.send("2\r")
        assert session.end() == 1
    finally:
        session.close()
    (saved,) = yard_folder.glob("saved-rows-*.jsonl")
    assert len(saved.read_text(encoding="utf-8").splitlines()) > 40
    assert store.read_bytes() == data


def test_a_changed_row_is_saved_and_marked(whole: Path, tmp_path: Path) -> None:
    """Of a row that does not agree with its hash what is left is saved, and said not to be whole."""
    store = tmp_path / "yard.sqlite3"
    store.write_bytes(whole.read_bytes())
    with closing(sqlite3.connect(store)) as plain:
        for (name,) in plain.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            plain.execute(f'DROP TRIGGER "{name}"')
        plain.execute("UPDATE ledger SET person = 'Eve' WHERE seq = 5")
        plain.commit()

    lines = saved_lines(store)

    assert [line["person"] for line in lines if not line["is_whole"] and line["seq"] == 5] == ["Eve"]
    assert all(line["is_whole"] for line in lines if line["seq"] != 5)
