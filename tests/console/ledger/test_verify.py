"""The check of the whole store names the row that was changed, removed or put elsewhere."""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from console.ledger.keeping.salvage import salvage
from console.ledger.keeping.verify import Verification, verify
from console.ledger.rows.queries import LedgerReader
from tests.console.ledger.clock import brass, open_ledger

PAGE = 4096
TABLE_LEAF = 0x0D  # first byte of a page that holds rows; source: SQLite file format, section 1.6, memory


@pytest.fixture
def filled(store: Path) -> Path:
    """A closed store with 20 rows."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        for number in range(19):
            ledger.add_piece(brass(1000 + number), "Ada")
    return store


@contextmanager
def tampering(store: Path) -> Iterator[sqlite3.Connection]:
    """Open the store as somebody would who takes the guards off, and puts them back afterwards."""
    with closing(sqlite3.connect(store, isolation_level=None)) as plain:
        guards = dict(plain.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))
        for name in guards:
            plain.execute(f"DROP TRIGGER {name}")
        yield plain
        for guard in guards.values():
            plain.execute(guard)


def checked(store: Path, printed: tuple[int, str] | None = None) -> Verification:
    """Return what the check finds."""
    with LedgerReader.open(store) as reader:
        return verify(reader, printed=printed)


def found(store: Path) -> list[tuple[int | None, str]]:
    """Return row and words of every finding."""
    return [(finding.seq, finding.what) for finding in checked(store).findings]


def test_whole_store_has_no_findings(filled: Path) -> None:
    """Nothing is found in a store that only this program wrote."""
    result = checked(filled)

    assert result.is_whole
    assert (result.rows, result.whole_rows, result.last_seq) == (20, 20, 20)


@pytest.mark.parametrize(
    "change",
    [
        "mass_g = mass_g + 1",
        "bay = 'RB'",
        "person = 'Ben'",
        "body = json_remove(body, '$.line')",
        "evidence = NULL",
        "at_utc = '2031-05-02T06:00:00.000Z'",
        "tag = 'H001'",
    ],
)
def test_changed_row_is_named(filled: Path, change: str) -> None:
    """A change of any column of one row is found, and that row named."""
    with tampering(filled) as plain:
        plain.execute(f"UPDATE ledger SET {change} WHERE seq = 7")

    assert found(filled) == [(7, "this row was changed, or moved from another place")]
    assert checked(filled).whole_rows == 19


def test_missing_rows_are_named(filled: Path) -> None:
    """Rows that were taken out are found, with their numbers."""
    with tampering(filled) as plain:
        plain.execute("DELETE FROM ledger WHERE seq IN (5, 11, 12)")

    assert found(filled) == [
        (6, "row 5 before this one: missing"),
        (13, "rows 11 to 12 before this one: missing"),
    ]


def test_missing_row_is_found_though_the_others_were_renumbered(filled: Path) -> None:
    """Closing the gap does not hide it: the rows behind it no longer agree with their hashes."""
    with tampering(filled) as plain:
        plain.execute("DELETE FROM ledger WHERE seq = 5")
        for seq in range(6, 21):
            plain.execute("UPDATE ledger SET seq = seq - 1 WHERE seq = ?", (seq,))

    assert found(filled)[0] == (5, "row 4 is not the one that this row followed")


def test_rows_that_changed_places_are_named(filled: Path) -> None:
    """Two rows that were swapped are both found, and the order is said to be wrong."""
    with tampering(filled) as plain:
        for old, new in ((8, 99), (9, 8), (99, 9)):
            plain.execute("UPDATE ledger SET seq = ? WHERE seq = ?", (new, old))

    findings = found(filled)
    assert {seq for seq, _ in findings} >= {8, 9}
    assert (9, "out of order: it was written before row 8") in findings


def test_rewritten_row_with_its_own_new_hash_is_found_by_the_next(filled: Path) -> None:
    """Who changes a row and reckons its hash anew is found by the row after it."""
    from console.ledger.rows.chain import HASHED_COLUMNS, row_hash

    with tampering(filled) as plain:
        plain.execute("UPDATE ledger SET mass_g = 1 WHERE seq = 7")
        columns = plain.execute(f"SELECT {', '.join(HASHED_COLUMNS)} FROM ledger WHERE seq = 7").fetchone()
        plain.execute("UPDATE ledger SET row_hash = ? WHERE seq = 7", (row_hash(columns),))

    assert found(filled) == [(8, "row 7 is not the one that this row followed")]


def test_rows_cut_off_at_the_end_are_found_by_a_printed_hash(filled: Path) -> None:
    """The chain alone cannot see a missing end; the row number and hash of a printed handover can."""
    whole = checked(filled)
    printed = (whole.last_seq, whole.last_hash[:16].upper())
    assert checked(filled, printed).is_whole
    with tampering(filled) as plain:
        plain.execute("DELETE FROM ledger WHERE seq = 20")

    assert checked(filled).is_whole
    assert [finding.what for finding in checked(filled, printed).findings] == ["the printed row is missing"]


def test_missing_and_altered_guards_are_named(filled: Path) -> None:
    """A guard that was dropped, weakened or added is found."""
    with closing(sqlite3.connect(filled)) as plain:
        plain.execute("DROP TRIGGER ledger_never_changes")
        plain.execute("DROP TRIGGER ledger_never_shrinks")
        plain.execute("CREATE TRIGGER ledger_never_shrinks BEFORE DELETE ON ledger BEGIN SELECT 1; END")
        plain.execute("CREATE TABLE pigeons (name TEXT)")

    words = [what for _, what in found(filled)]
    assert "trigger ledger_never_changes is missing from the store" in words
    assert any(what.startswith("trigger ledger_never_shrinks was altered") for what in words)
    assert "table pigeons does not belong in the store" in words


def test_flipped_bytes_are_found_and_the_rest_can_be_saved(store: Path) -> None:
    """With a page of the file overwritten the check says so, and still reads the rows around it."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        with ledger.act():
            for number in range(400):
                ledger.add_piece(brass(1000 + number), "Ada")
    data = bytearray(store.read_bytes())
    leaf_pages = [start for start in range(0, len(data), PAGE) if data[start] == TABLE_LEAF]
    start = leaf_pages[len(leaf_pages) // 2]
    data[start : start + PAGE] = b"\xa5" * PAGE
    store.write_bytes(bytes(data))

    result = checked(store)

    saved = store.with_suffix(".jsonl")
    with LedgerReader.open(store) as reader:
        found = salvage(reader.path, saved)
        assert found.whole >= result.whole_rows
    rows = [json.loads(line) for line in saved.read_text(encoding="utf-8").splitlines()]
    assert [row["seq"] for row in rows if row["is_whole"]][:2] == [1, 2]
    assert rows[-1]["mass_g"] == 1399
    assert not result.is_whole
    assert any("damaged" in finding.what for finding in result.findings)
    assert any("cannot be read" in finding.what for finding in result.findings)
    assert 350 < result.whole_rows < 401
    assert result.last_seq == 401


def test_it_is_told_how_far_the_look_is(filled: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A word after every so many rows, of how many there are."""
    monkeypatch.setattr("console.ledger.keeping.verify.TELL_EVERY", 8)
    told: list[tuple[int, int]] = []
    with LedgerReader.open(filled) as reader:
        verify(reader, tell=lambda done, total: told.append((done, total)))

    assert told == [(8, 20), (16, 20)]
