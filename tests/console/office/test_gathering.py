"""Rows come to the office once each, in order, whatever cuts in."""

import shutil
import sqlite3
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import psycopg
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office import gathering
from console.office.address import Address, Connection, connected
from console.office.chains import State
from console.office.comparing import compare
from console.office.errors import OfficeError, OfficeRefused, OfficeStep, OfficeUnreached
from console.office.gathering import Gathered, OfficeCutOff, gather
from tests.console.ledger.clock import brass
from tests.console.office.conftest import NORTH

COLUMNS = (
    "seq, row_id, kind, at_utc, person, terminal, run_id, refers, bay, grade_id, mass_g, pieces, tag, body, "
    "evidence, prev_hash, row_hash"
)


def gathered(store: Path, office: Connection, batch_rows: int = 5_000) -> Gathered:
    with LedgerReader.open(store) as reader:
        return gather(reader, office, NORTH, batch_rows=batch_rows)


def rows_at_office(office: Connection) -> list[tuple[object, ...]]:
    return office.execute(f"SELECT {COLUMNS} FROM baywright.ledger_row ORDER BY chain, seq").fetchall()


def rows_of(store: Path) -> list[tuple[object, ...]]:
    with LedgerReader.open(store) as reader:
        return reader.connection.execute(f"SELECT {COLUMNS} FROM ledger ORDER BY seq").fetchall()


def test_every_row_comes_once_as_it_is(ledger: Ledger, store: Path, office: Connection) -> None:
    """The office holds the very rows of the store, and a second gather adds none."""
    first = ledger.add_piece(brass(tag="T1-H1"), "Ada")
    ledger.add_piece(brass(900), "Ada")
    ledger.void(first.row_id, 'no "brass"\n\t\x01\\ é € 😀  \x7f', "Ada")

    done = gathered(store, office, batch_rows=2)
    again = gathered(store, office)

    assert rows_at_office(office) == rows_of(store)
    assert (done.rows, again.rows, again.is_done) == (4, 0, True)
    with LedgerReader.open(store) as reader:
        assert compare(reader, office).is_even


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12))
def test_the_server_hashes_any_text_as_the_terminal_does(office: Connection, text: str) -> None:
    """Whatever was typed, the hash that the server reckons is the one of the terminal."""
    from console.ledger.rows.chain import row_hash

    row = (1, text, "note", "2031", text, "T", "R", None, text, None, 7, None, text, text, None, "0" * 64)

    found = office.execute(
        "SELECT baywright.hash_of(ROW(1, %s, %s, %s, %s::text, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, "
        "%s, '', now())::baywright.ledger_row)",
        row,
    ).fetchone()

    assert found == (row_hash(row),)


def test_a_row_that_was_changed_stays_on_the_terminal(
    ledger: Ledger, store: Path, office: Connection
) -> None:
    """A row that does not agree with its hash is named, and neither it nor what follows is sent."""
    for mass_g in (1000, 2000, 3000):
        ledger.add_piece(brass(mass_g), "Ada")
    with sqlite3.connect(store) as plain:
        plain.execute("DROP TRIGGER ledger_never_changes")
        plain.execute("UPDATE ledger SET mass_g = 9 WHERE seq = 3")

    with pytest.raises(OfficeError, match="Row 3 .* is not as it was written"):
        gathered(store, office, batch_rows=1)

    assert [row[0] for row in rows_at_office(office)] == [1, 2]


def test_long_rows_come_in_smaller_transactions(
    ledger: Ledger, store: Path, office: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A batch ends where its text takes a slow network too long, evidence counted; each row comes once."""
    for _ in range(3):
        ledger.add_piece(replace(brass(), evidence={"candidates": ["x" * 900]}), "Ada")
    monkeypatch.setattr(gathering, "BATCH_TEXT", 1_500)
    came = []

    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH, tell=lambda done, total: came.append((done, total)))

    assert came == [(3, 4), (4, 4)]
    assert [row[0] for row in rows_at_office(office)] == [1, 2, 3, 4]


BROKEN = (
    "mass_g = 9",
    "body = '{}'",
    "prev_hash = repeat('0', 64)",
    "seq = seq + 1",
    "row_hash = repeat('a', 64)",
)


def test_the_office_takes_no_row_that_breaks_the_chain(
    ledger: Ledger, store: Path, office: Connection
) -> None:
    """The server reckons every hash again: a row that was altered on the way is refused, and all with it."""
    ledger.add_piece(brass(), "Ada")
    gathered(store, office)
    ledger.add_piece(brass(2000), "Ada")
    last = rows_of(store)[-1]
    places = ", ".join(["%s"] * len(last))
    office.execute("CREATE TEMP TABLE altered AS SELECT * FROM baywright.ledger_row LIMIT 0")
    for change in BROKEN:
        office.execute("DELETE FROM altered")
        office.execute(
            f"INSERT INTO altered (chain, {COLUMNS}, arrived_at) VALUES (1, {places}, now())", last
        )
        office.execute(f"UPDATE altered SET {change}")

        with pytest.raises(psycopg.errors.RaiseException, match="does not agree with its hash|do not follow"):
            office.execute("INSERT INTO baywright.ledger_row SELECT * FROM altered")

    assert len(rows_at_office(office)) == 2


def test_not_even_the_owner_changes_a_row(ledger: Ledger, store: Path, office: Connection) -> None:
    """Rows at the office are never changed or deleted: a trigger refuses everybody."""
    gathered(store, office)

    for table in ("ledger_row", "ledger_row_2031", "chain", "visit", "decision", "step"):
        for act in ("DELETE FROM baywright.{}", "TRUNCATE baywright.{} CASCADE"):
            with pytest.raises(psycopg.errors.InsufficientPrivilege, match="never changed or deleted"):
                office.execute(act.format(table))
    for act in ("ledger_row SET person = 'Bo'", "ledger_row_2031 SET person = 'Bo'", "chain SET yard = 'S'"):
        with pytest.raises(psycopg.errors.InsufficientPrivilege, match="never changed or deleted"):
            office.execute(f"UPDATE baywright.{act}")


class Cutting:
    """A reader's connection whose office connection is ended while it reads a later batch."""

    def __init__(self, reader: LedgerReader, at_read: int, cut: object) -> None:
        self.path, self._inner, self._left, self._cut = reader.path, reader.connection, at_read, cut

    @property
    def connection(self) -> "Cutting":
        return self

    def execute(self, statement: str, values: tuple[object, ...] = ()) -> sqlite3.Cursor:
        if "LIMIT" in statement:
            self._left -= 1
            if self._left == 0:
                self._cut()  # type: ignore[operator]
        return self._inner.execute(statement, values)


def test_a_session_ended_by_the_server_is_gone_on_with(
    ledger: Ledger, store: Path, address: Address, office: Connection
) -> None:
    """Where the server ends the session, what came stays, and the next gather brings the rest."""
    for mass_g in range(1000, 1010):
        ledger.add_piece(brass(mass_g), "Ada")
    with LedgerReader.open(store) as reader, pytest.raises(OfficeCutOff) as cut, connected(address) as lost:
        pid = lost.info.backend_pid
        gather(
            Cutting(reader, 3, lambda: office.execute("SELECT pg_terminate_backend(%s, 5000)", (pid,))),
            lost,
            NORTH,
            batch_rows=2,
        )

    # The third batch is read while the second is taken, so that the session ends before that or after.
    came = len(rows_at_office(office))
    assert 2 <= cut.value.rows <= came <= 4
    assert came % 2 == 0
    assert "Nothing is lost" in str(cut.value)
    assert gathered(store, office).rows == 11 - came
    assert rows_at_office(office) == rows_of(store)


class Read:
    """Rows that a gather reads; before each of them something else is done."""

    def __init__(self, found: sqlite3.Cursor, meanwhile: Callable[[], object]) -> None:
        self._found, self._meanwhile, self.close = found, meanwhile, found.close

    def __iter__(self) -> Iterator[tuple[object, ...]]:
        for row in self._found:
            self._meanwhile()
            yield row


class Meanwhile(Cutting):
    """A reader's connection that is busy with a read while something else is done."""

    def execute(self, statement: str, values: tuple[object, ...] = ()) -> sqlite3.Cursor:
        found = self._inner.execute(statement, values)
        return Read(found, self._cut) if "LIMIT" in statement else found  # type: ignore[return-value,arg-type]


def test_a_piece_waits_for_no_gather(ledger: Ledger, store: Path, office: Connection) -> None:
    """In the middle of a read of its store a piece is written at once: its writer would wait for no lock."""
    for mass_g in range(1000, 1010):
        ledger.add_piece(brass(mass_g), "Ada")
    ledger.connection.execute("PRAGMA busy_timeout = 0")

    with LedgerReader.open(store) as reader:
        source = Meanwhile(reader, 0, lambda: ledger.add_piece(brass(), "Ada"))
        assert gather(source, office, NORTH, batch_rows=4).rows == 11

    assert gathered(store, office).rows == 11
    assert rows_at_office(office) == rows_of(store)


def test_two_gathers_at_once_bring_each_row_once(
    ledger: Ledger, store: Path, address: Address, office: Connection
) -> None:
    """Of gathers at the same time one works and the others say so; nothing is there twice."""
    for mass_g in range(1000, 1040):
        ledger.add_piece(brass(mass_g), "Ada")
    done: list[Gathered] = []

    def one() -> None:
        with connected(address) as own:
            done.append(gathered(store, own, batch_rows=3))

    threads = [threading.Thread(target=one) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sum(one.rows for one in done) == 41
    assert all(one.is_busy or one.is_done for one in done)
    assert rows_at_office(office) == rows_of(store)


def test_a_gather_tells_that_another_is_at_work(
    ledger: Ledger, store: Path, address: Address, office: Connection
) -> None:
    """While one gather holds a ledger a second one does nothing and says so."""
    inner: list[Gathered] = []

    def at_first_batch(done: int, total: int) -> None:
        with connected(address) as second:
            inner.append(gathered(store, second))

    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH, tell=at_first_batch)

    assert [(one.is_busy, one.is_done, one.rows) for one in inner] == [(True, False, 0)]


def test_the_clock_of_a_terminal_off_by_a_year_is_told(
    ledger: Ledger, store: Path, office: Connection
) -> None:
    """The office knows how far a terminal's clock is off, and takes its rows all the same."""
    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH, now=lambda: datetime.now(UTC) + timedelta(days=365))

    found = office.execute("SELECT clock_off > '364 days', rows FROM baywright.terminal_v").fetchone()

    assert found == (True, 1)


def test_an_office_of_another_step_is_told(ledger: Ledger, store: Path, office: Connection) -> None:
    """A program older than the office says which is newer and changes nothing."""
    office.execute("INSERT INTO baywright.step (number) VALUES (99)")

    with pytest.raises(OfficeStep, match="Install the newer program"):
        gathered(store, office)

    assert rows_at_office(office) == []


def test_no_office_and_no_server_are_told_in_a_line(store: Path, ledger: Ledger, server: str) -> None:
    """A database without an office, and a server that is not there, are a sentence each."""
    with connected(Address(conninfo=server)) as empty, pytest.raises(OfficeStep, match="office --make"):
        gathered(store, empty)
    nowhere = Address(conninfo="host=/nowhere dbname=x user=y")
    with pytest.raises(OfficeUnreached) as told, connected(nowhere):
        pass
    assert "\n" not in str(told.value)


def test_a_full_disk_is_told_and_nothing_half_written(
    ledger: Ledger, store: Path, office: Connection
) -> None:
    """Where the server finds its disk full the batch is not there, and the sentence says so."""
    office.execute(
        "CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS $$BEGIN RAISE disk_full; END$$"
    )
    office.execute(
        "CREATE TRIGGER a_full_disk AFTER INSERT ON baywright.ledger_row "
        "FOR EACH STATEMENT EXECUTE FUNCTION full_disk()"
    )

    with pytest.raises(OfficeRefused, match="disk of the office is full"):
        gathered(store, office)

    assert rows_at_office(office) == []


def copied(store: Path, to: Path) -> Path:
    to.mkdir()
    with sqlite3.connect(store) as source, sqlite3.connect(to / store.name) as copy:
        source.backup(copy)
    return to / store.name


def test_an_older_copy_is_behind(ledger: Ledger, store: Path, office: Connection, tmp_path: Path) -> None:
    """A store restored from an old backup is told to be behind, and nothing is written."""
    old = copied(store, tmp_path / "old")
    ledger.add_piece(brass(), "Ada")
    gathered(store, office)

    done = gathered(old, office)

    assert (done.standing.state, done.rows, done.is_done) == (State.BEHIND, 0, False)
    shutil.rmtree(tmp_path / "old")
