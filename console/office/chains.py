"""Which chain of the office a store belongs to: in step, behind, or gone another way."""

import sqlite3
from dataclasses import dataclass
from enum import StrEnum
from functools import partial

from psycopg.rows import class_row

from console.ledger.keeping.going_back import hash_at, last_common
from console.office.address import Connection


class State(StrEnum):
    """How a store stands to the office."""

    IN_STEP = "in step"
    BEHIND = "behind"
    """The office has rows that the store has not: an older copy of it was put back, or is looked at."""
    FORK = "fork"
    """Both have rows that the other has not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A chain of rows as the office has it."""

    chain: int
    """The office's own number of it; names a branch in what people decide."""
    branch: int
    """0 for the first that was gathered, then one for every fork."""
    yard: str
    terminal: str
    seq: int
    """Newest row."""
    row_hash: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A store against the chains of its ledger."""

    state: State
    chain: Chain | None
    """The one that the store agrees with, or that it went apart from; None where the office knows none."""
    common_seq: int = 0
    """The last common row."""
    common_hash: str = ""


_CHAINS = """
    SELECT c.chain, c.branch, c.yard, c.terminal, coalesce(h.seq, 0) AS seq,
        coalesce(h.row_hash, repeat('0', 64)) AS row_hash
    FROM baywright.chain c LEFT JOIN baywright.head h USING (chain)
"""


def chains_of(connection: Connection, ledger: str) -> list[Chain]:
    """Return the chains that the office has of a ledger, the first first."""
    return _chains(connection, "c.ledger = %s ORDER BY c.branch", ledger)


def namesakes(connection: Connection, ledger: str, yard: str, terminal: str) -> list[Chain]:
    """Return the chains of other ledgers that bear the same yard and terminal: their tags meet."""
    others = "c.yard = %s AND c.terminal = %s AND c.ledger <> %s ORDER BY c.chain"
    return _chains(connection, others, yard, terminal, ledger)


def _chains(connection: Connection, asked: str, *values: str) -> list[Chain]:
    with connection.cursor(row_factory=class_row(Chain)) as cursor:
        return cursor.execute(f"{_CHAINS} WHERE {asked}".encode(), values).fetchall()


def standing_of(
    connection: Connection, store: sqlite3.Connection, chains: list[Chain], newest: int
) -> Standing:
    """Return how a store stands to the chains of its ledger.

    Two ledgers that agree in one row agree in all before it: every row names the hash of the one before.

    Args:
        connection: The office.
        store: The terminal's store.
        chains: What the office has of its ledger.
        newest: The store's newest row.
    """
    agreeing = [one for one in chains if one.seq == 0 or hash_at(store, one.seq) == one.row_hash]
    if agreeing:
        best = max(agreeing, key=lambda one: one.seq)
        # A branch whose gather was cut off is a beginning of other branches too: go on with the furthest.
        if best.seq > 0 or len(chains) == 1:
            return Standing(state=State.IN_STEP, chain=best, common_seq=best.seq, common_hash=best.row_hash)
    here = partial(hash_at, store)
    apart = [
        (last_common(min(newest, one.seq), here, partial(hash_here, connection, one.chain)), one)
        for one in chains
    ]
    if not apart:
        return Standing(state=State.IN_STEP, chain=None)
    common, chain = max(apart, key=lambda pair: (pair[0], -pair[1].branch))
    state = State.BEHIND if common == newest else State.FORK
    return Standing(state=state, chain=chain, common_seq=common, common_hash=hash_at(store, common) or "")


def hash_here(connection: Connection, chain: int, seq: int) -> str | None:
    """Return the hash of a row at the office, None where it is not there."""
    found = connection.execute(
        "SELECT row_hash FROM baywright.ledger_row WHERE chain = %s AND seq = %s", (chain, seq)
    ).fetchone()
    return str(found[0]) if found else None
