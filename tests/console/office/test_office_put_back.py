"""An office restored from an older copy is noticed by the terminals that sent more, and gets it again."""

import secrets
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import psycopg
import pytest
from psycopg import sql
from psycopg.conninfo import conninfo_to_dict

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, connected
from console.office.comparing import Compared, compare
from console.office.errors import OfficeError
from console.office.gathering import Gathered, gather
from console.office.needs import PUT_BACK_TOLD, needs_of
from console.office.picture import Picture, picture_of
from console.office.remembering import ENDING
from console.office.telling import told_of_compared, told_of_gathered
from console.reports.paperwork.picture_report import picture_text
from tests.console.ledger.clock import brass
from tests.console.office.conftest import NORTH
from tests.console.office.proxy import cut_after

EVER = datetime(2020, 1, 1, tzinfo=UTC)
WENT_BACK = "THE OFFICE WENT BACK: it took rows up to {} before"


class Backup:
    """A copy of an office, and the way back to it."""

    def __init__(self, server: str, address: Address) -> None:
        self._server, self.name = server, f"baywright_{secrets.token_hex(6)}"
        self._live = str(conninfo_to_dict(address.conninfo)["dbname"])

    def _copy(self, source: str, to: str) -> None:
        with psycopg.connect(self._server, autocommit=True) as keeper:
            drop = sql.SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)")
            keeper.execute(drop.format(sql.Identifier(to)))
            copy = sql.SQL("CREATE DATABASE {} TEMPLATE {}")
            keeper.execute(copy.format(sql.Identifier(to), sql.Identifier(source)))

    def make(self) -> None:
        self._copy(self._live, self.name)

    def put_back(self) -> None:
        self._copy(self.name, self._live)


@pytest.fixture
def backup(server: str, address: Address) -> Iterator[Backup]:
    """The copy of the office that is put back."""
    made = Backup(server, address)
    yield made
    with psycopg.connect(server, autocommit=True) as keeper:
        keeper.execute(sql.SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)").format(sql.Identifier(made.name)))


def gathered(store: Path, address: Address, batch_rows: int = 5_000) -> Gathered:
    with LedgerReader.open(store) as reader, connected(address) as office:
        return gather(reader, office, NORTH, batch_rows=batch_rows)


def compared(store: Path, address: Address) -> Compared:
    with LedgerReader.open(store) as reader, connected(address) as office:
        return compare(reader, office)


def test_an_office_put_back_is_noticed_and_made_whole(
    ledger: Ledger, store: Path, address: Address, backup: Backup
) -> None:
    """Rows that it took and lost are told by --check and by the gather that brings them again, then never."""
    ledger.add_piece(brass(), "Ada")
    gathered(store, address)
    backup.make()
    ledger.add_piece(brass(2000), "Ada")
    ledger.add_piece(brass(3000), "Ada")
    assert gathered(store, address).lost == 0
    ledger.add_piece(brass(4000), "Ada")
    backup.put_back()

    seen = compared(store, address)
    assert (seen.lost, seen.missing) == (4, 3)
    assert told_of_compared(seen)[0].startswith(WENT_BACK.format(4))
    done = gathered(store, address)

    assert (done.lost, done.rows, done.is_done) == (4, 3, True)
    assert told_of_gathered(done)[0].startswith(WENT_BACK.format(4))
    assert compared(store, address).is_even
    assert gathered(store, address).lost == 0


def seen_at(address: Address) -> Picture:
    with connected(address) as office:
        return picture_of(office, start=EVER, end=EVER)


def test_who_reads_the_office_knows_that_it_was_put_back(
    ledger: Ledger, store: Path, address: Address, backup: Backup
) -> None:
    """Its picture says which terminal had sent more, up to which row, and when that was sent again."""
    ledger.add_piece(brass(), "Ada")
    gathered(store, address)
    assert seen_at(address).put_back == ()
    backup.make()
    with ledger.act():
        for mass_g in range(1000, 1040):
            ledger.add_piece(brass(mass_g), "Ada")
    gathered(store, address)
    backup.put_back()
    with cut_after(address, 9_000) as cut, pytest.raises(OfficeError):
        gathered(store, cut, batch_rows=5)

    (line,) = seen_at(address).put_back
    assert (line.terminal, line.sent_up_to, line.held_up_to, line.filled_at) == ("T1", 42, 2, None)
    assert gathered(store, address).is_done
    full = seen_at(address)

    assert [one.filled_at is not None for one in full.put_back] == [True]
    (said,) = [one for one in needs_of(full) if "put back" in one]
    assert "North T1 had sent up to row 42, it held up to 2; sent again" in said
    text = picture_text(full)
    assert "sent up to  held up to" in text
    assert said in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80
    later = replace(full, at=full.at + PUT_BACK_TOLD + timedelta(minutes=1))
    assert not [one for one in needs_of(later) if "put back" in one]
    never = replace(later, put_back=(line,))
    assert [one for one in needs_of(never) if "not sent again yet" in one]


def test_what_came_before_a_cut_is_remembered(
    ledger: Ledger, store: Path, address: Address, backup: Backup
) -> None:
    """Rows taken before the network was cut count as taken: an empty office put back is noticed by them."""
    backup.make()
    with ledger.act():
        for mass_g in range(1000, 1040):
            ledger.add_piece(brass(mass_g), "Ada")
    with cut_after(address, 9_000) as cut, pytest.raises(OfficeError):
        gathered(store, cut, batch_rows=5)
    backup.put_back()

    done = gathered(store, address)

    assert done.lost > 0
    assert done.lost % 5 == 0
    assert done.rows == 41
    assert compared(store, address).is_even


def test_a_damaged_memory_or_another_ledgers_tells_nothing(
    ledger: Ledger, store: Path, address: Address, tmp_path: Path
) -> None:
    """A memory that cannot be read, or is of another store, stops no gather and accuses no office."""
    ledger.add_piece(brass(), "Ada")
    gathered(store, address)
    memory = store.with_name(store.name + ENDING)
    other = memory.read_text("utf-8").replace('"ledger": "', '"ledger": "0').replace('"seq": 2', '"seq": 9')
    for text in (other, "{", "[]", '{"a": 1}'):
        memory.write_text(text, encoding="utf-8")

        done = gathered(store, address)

        assert (done.lost, done.is_done) == (0, True)
