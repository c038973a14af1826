"""Who may do what at the office: enforced by the server, whatever program asks."""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import psycopg
import pytest
from psycopg import sql

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Connection
from console.office.errors import OfficeRefused
from console.office.gathering import Place, gather
from console.office.picture import picture_of
from console.office.remembering import ENDING
from tests.console.ledger.clock import SteppingClock, brass
from tests.console.office.conftest import NORTH

EVER = datetime(2020, 1, 1, tzinfo=UTC)
SOUTH = Place(yard="South", terminal="T1", currency="EUR")
READ = ("chain", "ledger_row", "head", "visit", "stock_v", "piece_v", "terminal_v", "run_v", "hold_v",
        "consignment_v", "put_back", "put_back_v")  # fmt: skip


@pytest.fixture
def logins(office: Connection) -> Iterator[dict[str, str]]:
    """A terminal of each yard, the office, that of the north alone, and one let in to nothing."""
    ends = secrets.token_hex(4)
    names = {who: f"{who}_{ends}" for who in ("north", "south", "office", "office_north", "nobody")}
    for name in names.values():
        office.execute(sql.SQL("CREATE ROLE {}").format(sql.Identifier(name)))
    for who, what, yard in (
        ("north", "terminal", "North"), ("south", "terminal", "South"),
        ("office", "office", "*"), ("office_north", "office", "North"),
    ):  # fmt: skip
        office.execute("SELECT baywright.let_in(%s, %s, %s)", (names[who], what, yard))
    yield names
    for name in names.values():
        office.execute(sql.SQL("DROP ROLE {}").format(sql.Identifier(name)))


@contextmanager
def as_login(office: Connection, name: str) -> Iterator[Connection]:
    office.execute(sql.SQL("SET ROLE {}").format(sql.Identifier(name)))
    try:
        yield office
    finally:
        if not office.closed:
            office.execute("RESET ROLE")
            office.execute("DISCARD TEMP")


@pytest.fixture
def both_yards(
    ledger: Ledger, store: Path, office: Connection, tmp_path: Path, logins: dict[str, str]
) -> None:
    """A yard in the north and one in the south, each gathered by its own terminal's login."""
    ledger.add_piece(brass(1000, tag="T1-H1"), "Ada")
    with as_login(office, logins["north"]), LedgerReader.open(store) as reader:
        assert gather(reader, office, NORTH).rows == 2
    with Ledger.open(tmp_path / "south.sqlite3", now=SteppingClock(), terminal="T1") as south:
        south.open_run("Bo")
        south.add_piece(brass(7000), "Bo")
        with as_login(office, logins["south"]), LedgerReader.open(south.path) as reader:
            assert gather(reader, office, SOUTH).rows == 2


def yards_seen(office: Connection) -> set[str]:
    return {yard for (yard,) in office.execute("SELECT yard FROM baywright.chain")}


def test_each_login_sees_its_yard(both_yards: None, office: Connection, logins: dict[str, str]) -> None:
    """A terminal sees the rows of its yard, the office those of all or of the one it was let in to."""
    for who, yards in (
        ("north", {"North"}), ("south", {"South"}), ("office", {"North", "South"}), ("office_north",
        {"North"}), ):  # fmt: skip
        with as_login(office, logins[who]):
            assert yards_seen(office) == yards
            rows = office.execute("SELECT count(*) FROM baywright.ledger_row").fetchone()
            assert rows == (2 * len(yards),)
    with as_login(office, logins["office_north"]):
        assert office.execute("SELECT yard, lying_g FROM baywright.stock_v").fetchall() == [("North", 1000)]


def test_a_terminal_adds_to_its_own_yard_only(
    both_yards: None, ledger: Ledger, store: Path, office: Connection, logins: dict[str, str]
) -> None:
    """Rows of another yard, or of a chain that another yard has, are refused by the server."""
    with as_login(office, logins["south"]), LedgerReader.open(store) as reader:
        with pytest.raises(OfficeRefused, match="does not let this login do that"):
            gather(reader, office, NORTH)
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            office.execute("INSERT INTO baywright.visit (chain, state, store_seq) VALUES (1, 'in step', 2)")
    with as_login(office, logins["office"]), LedgerReader.open(store) as reader:
        ledger.add_piece(brass(), "Ada")
        with pytest.raises(OfficeRefused, match="does not let this login do that"):
            gather(reader, office, NORTH)


@pytest.mark.parametrize("who", ["north", "office"])
def test_no_login_changes_or_deletes(
    both_yards: None, office: Connection, logins: dict[str, str], who: str
) -> None:
    """Neither terminal nor office has the right to change, delete or empty anything, nor to make anything."""
    tables = (
        "chain",
        "ledger_row",
        "ledger_row_2031",
        "head",
        "standing",
        "bay_day",
        "visit",
        "decision",
        "login",
        "put_back",
    )
    with as_login(office, logins[who]):
        for table in tables:
            for act in ("DELETE FROM baywright.{}", "TRUNCATE baywright.{}", "DROP TABLE baywright.{}"):
                with pytest.raises(psycopg.errors.InsufficientPrivilege):
                    office.execute(act.format(table))
        for act in (
            "UPDATE baywright.bay_day SET in_g = 0", "UPDATE baywright.head SET seq = 9",
            "UPDATE baywright.ledger_row SET person = 'Bo'", "CREATE TABLE baywright.own (n integer)",
            "INSERT INTO baywright.login VALUES (current_user, '*')", "SELECT baywright.correct(1, '{}')",
            "INSERT INTO baywright.bay_day VALUES (1, 'YB', '2031-01-01', 1, 0, 1, 1)",
            "INSERT INTO baywright.ledger_row_2031 SELECT * FROM baywright.ledger_row",
        ):  # fmt: skip
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                office.execute(act)


def test_a_terminal_tells_that_the_office_was_put_back_and_the_office_reads_it(
    both_yards: None, ledger: Ledger, store: Path, office: Connection, logins: dict[str, str]
) -> None:
    """A terminal's login says so of its own yard alone; the office's logins read it in the picture."""
    memory = store.with_name(store.name + ENDING)
    memory.write_text(memory.read_text("utf-8").replace('"seq": 2', '"seq": 9'), encoding="utf-8")
    with as_login(office, logins["north"]), LedgerReader.open(store) as reader:
        assert gather(reader, office, NORTH).lost == 9
    tell = "INSERT INTO baywright.put_back (chain, sent_seq, held_seq) VALUES (1, 9, 2)"
    for who in ("south", "office"):
        with as_login(office, logins[who]), pytest.raises(psycopg.errors.InsufficientPrivilege):
            office.execute(tell)

    for who in ("office", "office_north"):
        with as_login(office, logins[who]):
            seen = picture_of(office, start=EVER, end=EVER).put_back
        assert [(one.yard, one.sent_up_to, one.held_up_to) for one in seen] == [("North", 9, 2)]


def test_who_is_not_let_in_sees_nothing(both_yards: None, office: Connection, logins: dict[str, str]) -> None:
    """A login of the server that nobody let in can read no table of the office."""
    with as_login(office, logins["nobody"]):
        for table in READ:
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                office.execute(f"SELECT * FROM baywright.{table}")


def test_a_terminal_decides_on_no_fork(both_yards: None, office: Connection, logins: dict[str, str]) -> None:
    """Which way of a ledger counts is for the office to say, not for a terminal."""
    decide = "INSERT INTO baywright.decision (chain, person) VALUES (1, 'Ada')"
    with as_login(office, logins["north"]), pytest.raises(psycopg.errors.InsufficientPrivilege):
        office.execute(decide)
    with as_login(office, logins["office"]):
        office.execute(decide)


def test_a_terminal_is_let_in_to_one_yard(office: Connection, logins: dict[str, str]) -> None:
    """A terminal without a yard, or for all of them, is not let in."""
    for what, yard in (("terminal", "*"), ("owner", "North")):
        with pytest.raises(psycopg.errors.RaiseException, match="needs: terminal and its yard"):
            office.execute("SELECT baywright.let_in(%s, %s, %s)", (logins["nobody"], what, yard))
