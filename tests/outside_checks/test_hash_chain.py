"""The hash chain reckoned again with hashlib alone, and the store looked at with plain sqlite3."""

import hashlib
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.console.ledger.clock import brass, open_ledger


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store with a little of everything, closed."""
    path = tmp_path / "yard.sqlite3"
    with open_ledger(path) as ledger:
        ledger.open_run("Zoë")
        held = ledger.add_piece(brass(bay="HO", tag=ledger.next_tag()), "Zoë")
        ledger.resolve(held.row_id, "YB", '銅? "quoted" \\ \n new line', "Ada", grade_id=None)
        ledger.ticket(2_000, 500, "Ada", moisture_pct=1.25)
        ledger.close_run("Ada", explanation="ünïcode ✓")
    return path


def test_sha_256_is_the_published_function() -> None:
    """SHA-256 of "abc", FIPS 180-2, appendix B.1."""
    assert hashlib.sha256(b"abc").hexdigest() == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )


def test_chain_can_be_reckoned_without_the_program(store: Path) -> None:
    """Every row's hash follows from its columns as text, as rows/chain.py of the ledger says in words."""
    with closing(sqlite3.connect(store)) as plain:
        rows = plain.execute(
            "SELECT seq, row_id, kind, at_utc, person, terminal, run_id, refers, bay, grade_id, mass_g, "
            "pieces, tag, body, evidence, prev_hash, row_hash FROM ledger ORDER BY seq"
        ).fetchall()

    assert len(rows) == 5
    before = "0" * 64
    for *columns, own_hash in rows:
        text = json.dumps(columns, ensure_ascii=False, separators=(",", ":"))
        assert columns[-1] == before
        assert hashlib.sha256(text.encode("utf-8")).hexdigest() == own_hash
        before = own_hash


def test_plain_sqlite_finds_the_store_in_order(store: Path) -> None:
    """PRAGMA integrity_check and foreign_key_check of the plain sqlite3 module find nothing."""
    with closing(sqlite3.connect(store)) as plain:
        assert plain.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert plain.execute("PRAGMA foreign_key_check").fetchall() == []
        assert plain.execute("SELECT count(*) FROM ledger WHERE NOT json_valid(body)").fetchone() == (0,)
