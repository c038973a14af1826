"""A real PostgreSQL for the tests: one for the session, a fresh office for each test.

Where BAYWRIGHT_OFFICE_DSN names a server (a login that may make databases), that one is used.
"""

import os
import secrets
import tempfile
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from psycopg import sql
from psycopg.conninfo import make_conninfo

from console.commands.yard.trial_server import trial_server
from console.ledger.keeping.store import Ledger
from console.office.address import Address, Connection, connected
from console.office.gathering import Place
from console.office.schema import climb
from tests.console.ledger.clock import open_ledger

NORTH = Place(yard="North", terminal="T1", currency="EUR")


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """A server of our own, or the one that the environment names."""
    if named := os.environ.get("BAYWRIGHT_OFFICE_DSN"):
        yield named
        return
    with (
        tempfile.TemporaryDirectory(prefix="office-", dir="/tmp") as folder,
        trial_server(Path(folder) / "server") as started,
    ):
        with psycopg.connect(started.get_uri(), autocommit=True) as keeper:
            # What a test wrote need not outlive the machine; a fresh office then costs a tenth of the time.
            for setting in ("fsync", "synchronous_commit", "full_page_writes"):
                keeper.execute(sql.SQL("ALTER SYSTEM SET {} = off").format(sql.Identifier(setting)))
            keeper.execute("SELECT pg_reload_conf()")
        yield started.get_uri()


@pytest.fixture(scope="session")
def pattern(server: str) -> Iterator[str]:
    """Name of a database with an office in it, from which those of the tests are copied."""
    name = f"baywright_{secrets.token_hex(6)}"
    with psycopg.connect(server, autocommit=True) as keeper:
        keeper.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        with connected(Address(conninfo=make_conninfo(server, dbname=name))) as office:
            climb(office)
        yield name
        keeper.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))


@pytest.fixture
def address(server: str, pattern: str) -> Iterator[Address]:
    """Address of an office without a row."""
    name = f"baywright_{secrets.token_hex(6)}"
    with psycopg.connect(server, autocommit=True) as keeper:
        keeper.execute(
            sql.SQL("CREATE DATABASE {} TEMPLATE {}").format(sql.Identifier(name), sql.Identifier(pattern))
        )
        yield Address(conninfo=make_conninfo(server, dbname=name))
        keeper.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))


@pytest.fixture
def office(address: Address) -> Iterator[Connection]:
    """An office without a row, as its owner."""
    with connected(address) as connection:
        yield connection


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """Where the store of the test lies."""
    return tmp_path / "yard.sqlite3"


@pytest.fixture
def ledger(store: Path) -> Iterator[Ledger]:
    """A new ledger with one open run, worked by Ada."""
    with open_ledger(store) as opened:
        opened.open_run("Ada")
        yield opened
