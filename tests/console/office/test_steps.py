"""An office of an older step is brought up with its rows, and goes on as before."""

import secrets
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import psycopg
import pytest
from psycopg import sql
from psycopg.conninfo import make_conninfo

from console.desk import Desk
from console.entry.load_words import read_load_answer
from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office import schema
from console.office.address import Address, Connection, connected
from console.office.comparing import compare
from console.office.errors import OfficeStep
from console.office.gathering import gather
from tests.console.ledger.clock import SteppingClock, brass
from tests.console.office.conftest import NORTH


@pytest.fixture
def bare(server: str) -> Iterator[Connection]:
    """A database of the server without an office."""
    name = f"baywright_{secrets.token_hex(6)}"
    with psycopg.connect(server, autocommit=True) as keeper:
        keeper.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        with connected(Address(conninfo=make_conninfo(server, dbname=name))) as connection:
            yield connection
        keeper.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))


def test_an_office_of_step_1_goes_on_at_the_newest(
    ledger: Ledger, store: Path, bare: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rows and sums of an office of step 1 are there after the step up, and the next gather adds to them."""
    ledger.add_piece(brass(1000), "Ada")
    with monkeypatch.context() as older:
        older.setattr(schema, "NEWEST", 1)
        assert schema.climb(bare) == (0, 1)
        with LedgerReader.open(store) as reader:
            gather(reader, bare, NORTH)
    ledger.add_piece(brass(2000), "Ada")

    with LedgerReader.open(store) as reader:
        with pytest.raises(OfficeStep, match="--make"):
            gather(reader, bare, NORTH)
        assert schema.climb(bare) == (1, schema.NEWEST)
        assert gather(reader, bare, NORTH).rows == 1
        assert compare(reader, bare).is_even
    assert bare.execute("SELECT lying_g, entries FROM baywright.stock_v").fetchall() == [(3000, 2)]


def test_what_an_older_step_did_not_read_counts_after_the_step_up(
    ledger: Ledger, store: Path, bare: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Loads said later and consignments, with what was taken back, are read out of rows that lie there."""
    piece = ledger.add_piece(replace(brass(), supplier="Harrow", load="L7"), "Ada")
    ledger.assign(piece.row_id, "Sexton", "L8", "mixed up", "Ada")
    ledger.consignments.begin("RX1", "", "Ada")
    ledger.void(ledger.consignments.begin("RX2", "", "Ada").row_id, "never mind", "Ada")
    with monkeypatch.context() as older, LedgerReader.open(store) as reader:
        older.setattr(schema, "NEWEST", 4)
        schema.climb(bare)
        gather(reader, bare, NORTH)

    schema.climb(bare)

    assert bare.execute("SELECT supplier, load FROM baywright.piece_v").fetchall() == [("Sexton", "L8")]
    assert bare.execute("SELECT consignment FROM baywright.consignment_v").fetchall() == [("T1-C1",)]


def test_a_row_of_no_chain_is_refused(ledger: Ledger, store: Path, office: Connection) -> None:
    """Not even the owner adds a row to a chain that the office does not know."""
    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH)
    office.execute("CREATE TEMP TABLE stray AS SELECT * FROM baywright.ledger_row")
    office.execute("UPDATE stray SET chain = 99")

    with pytest.raises(psycopg.errors.ForeignKeyViolation):
        office.execute("INSERT INTO baywright.ledger_row SELECT * FROM stray")


def test_supplier_and_load_are_kept_beside_the_piece(ledger: Ledger, store: Path, office: Connection) -> None:
    """Whose metal a piece was is taken from its body; a piece that does not say so has an empty word."""
    ledger.add_piece(replace(brass(), supplier="Harrow", load="L7"), "Ada")
    ledger.add_piece(brass(), "Ada")
    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH)

    found = office.execute("SELECT supplier, load FROM baywright.piece_v ORDER BY row_id").fetchall()

    assert sorted(found) == [("", ""), ("Harrow", "L7")]


def test_pieces_and_holds_carry_the_name_that_the_terminal_says(
    yard_folder: Path, office: Connection
) -> None:
    """Class or grade, as entered, resolved, taken back and done again: the views say as the terminal does."""
    lines = ("12.4 yellow brass", "3 304", "7 ?", "2 stainless ?", "4 stainless ?", "6 stainless ?")
    with closing(Desk.open(yard_folder, now=SteppingClock())) as desk:
        for line in lines:
            desk.tally(desk.consider(line))
        held = {piece.tag: piece for piece in desk.review.pieces() if piece.is_held}
        for tag, findings in (("T1-H2", "304"), ("T1-H3", "yellow brass"), ("T1-H4", "304")):
            desk.review.resolve(held[tag].row_id, findings, "found", bay_code="AMX")
        desk.undo()
        desk.undo()
        desk.redo()
        ours = {piece.row_id: piece.short_name for piece in desk.review.pieces()}
        holds = {piece.short_name for piece in desk.review.pieces() if piece.is_held}
    with LedgerReader.open(yard_folder / "yard.sqlite3") as reader:
        gather(reader, office, NORTH)

    assert set(ours.values()) == {"", "304", "austenitic stainless", "brass"}
    assert dict(office.execute("SELECT row_id, name FROM baywright.piece_v").fetchall()) == ours
    assert {name for (name,) in office.execute("SELECT name FROM baywright.hold_v").fetchall()} == holds


def test_a_load_begun_and_a_tag_that_stays_reach_the_office(yard_folder: Path, office: Connection) -> None:
    """What the line was told changes no piece there, and a corrected hold waits once, under its own tag."""
    with closing(Desk.open(yard_folder, now=SteppingClock())) as desk:
        desk.loads.begin(read_load_answer("Harrow load L7"))
        desk.tally(desk.consider("7 ?"))
        desk.loads.begin(read_load_answer("none"))
        desk.correct(desk.consider("7.5 ?"))
        desk.tally(desk.consider("3 304"))
    with LedgerReader.open(yard_folder / "yard.sqlite3") as reader:
        gather(reader, office, NORTH)
        assert compare(reader, office).is_even

    told = "SELECT supplier, load, mass_g, is_void FROM baywright.piece_v ORDER BY row_id"
    assert office.execute(told).fetchall() == [
        ("Harrow", "L7", 7_000, True),
        ("Harrow", "L7", 7_500, False),
        ("", "", 3_000, False),
    ]
    assert office.execute("SELECT tag FROM baywright.hold_v").fetchall() == [("T1-H1",)]
