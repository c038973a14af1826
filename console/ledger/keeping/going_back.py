"""What the ledger would lose if an older or another copy took its place."""

import sqlite3
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from console.ground.mass import format_mass
from console.ledger.rows.connection import open_for_reading
from console.ledger.rows.errors import StoreError
from console.ledger.rows.row_text import storable
from console.ledger.rows.trouble import UNREADABLE, told_plainly

HashAt = Callable[[int], str | None]
_MOST_NAMES = 12
"""So many runs and tags are named; the rest is counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GoingBack:
    """The rows of a store that a copy does not hold."""

    common_seq: int
    """The last row that both hold; 0 when they have none in common."""
    last_seq: int
    """The newest row of the store."""
    entries: int
    """Pieces entered in the rows that would be lost, each weighing counted once."""
    pieces: int
    mass_g: int
    runs: tuple[str, ...]
    """Runs with a row among them."""
    tags: tuple[str, ...]
    """Tags that were written on pieces."""
    unreadable: str = ""
    """Why the store cannot say what would be lost; empty where it can."""

    @property
    def rows(self) -> int:
        """How many rows would be lost."""
        return self.last_seq - self.common_seq


_NOTHING = GoingBack(common_seq=0, last_seq=0, entries=0, pieces=0, mass_g=0, runs=(), tags=())


def going_back(copy: Path, store: Path) -> GoingBack:
    """Return what putting a copy in the place of a store would lose.

    Two ledgers that agree in one row agree in all before it: every row names the hash of the one before.

    Raises:
        StoreError: The copy cannot be read.
    """
    if not store.exists() or store.stat().st_size == 0:
        return _NOTHING
    ours = open_for_reading(copy)
    try:
        theirs = open_for_reading(store)
    except StoreError as error:
        ours.close()
        return replace(_NOTHING, unreadable=str(error))
    try:
        with told_plainly(copy):
            both = min(last_seq(ours), last_seq(theirs))
            return _lost(theirs, last_common(both, partial(hash_at, ours), partial(hash_at, theirs)))
    except UNREADABLE as error:
        return replace(_NOTHING, unreadable=str(error))
    finally:
        ours.close()
        theirs.close()


def last_common(newest: int, one: HashAt, other: HashAt) -> int:
    """Return the number of the last row that two histories share, 0 where they share none.

    Args:
        newest: Number of the newest row that both may have.
        one, other: Give the hash of the row of a number; None where it is not there.
    """
    numbers = range(1, newest + 1)
    return bisect_left(numbers, True, key=lambda seq: (own := one(seq)) is None or own != other(seq))


def hash_at(connection: sqlite3.Connection, seq: int) -> str | None:
    """Return the hash of a row, None where it is not there."""
    found = connection.execute("SELECT row_hash FROM ledger WHERE seq = ?", (seq,)).fetchone()
    return str(found[0]) if found else None


def last_seq(connection: sqlite3.Connection) -> int:
    """Return the number of the newest row, 0 where there is none."""
    return int(connection.execute("SELECT coalesce(max(seq), 0) FROM ledger").fetchone()[0])


def _lost(store: sqlite3.Connection, common_seq: int) -> GoingBack:
    entries, pieces, mass_g = store.execute(
        "SELECT count(*), coalesce(sum(pieces), 0), coalesce(sum(mass_g), 0) FROM ledger "
        "WHERE seq > ? AND kind = 'piece'",
        (common_seq,),
    ).fetchone()
    runs = store.execute("SELECT DISTINCT run_id FROM ledger WHERE seq > ? ORDER BY seq", (common_seq,))
    tags = store.execute(
        "SELECT tag FROM ledger WHERE seq > ? AND tag IS NOT NULL ORDER BY seq", (common_seq,)
    )
    return GoingBack(
        common_seq=common_seq,
        last_seq=last_seq(store),
        entries=entries,
        pieces=pieces,
        mass_g=mass_g,
        runs=tuple(storable(str(run)) for (run,) in runs),
        tags=tuple(storable(str(tag)) for (tag,) in tags),
    )


def going_back_text(lost: GoingBack) -> str:
    """Return what would be lost, in one sentence; empty where nothing would."""
    if lost.unreadable:
        return f"What the present store holds beyond the copy cannot be told: {lost.unreadable}"
    if lost.rows <= 0:
        return ""
    tags = f"; tags {_named(lost.tags)}" if lost.tags else ""
    return (
        f"Going back loses rows {lost.common_seq + 1} to {lost.last_seq} of the present store: "
        f"{lost.entries} entries of {lost.pieces} pieces, "
        f"{format_mass(lost.mass_g, 'kg')}; runs {_named(lost.runs)}{tags}."
    )


def _named(names: tuple[str, ...]) -> str:
    more = len(names) - _MOST_NAMES
    return ", ".join(names[:_MOST_NAMES]) + (f" and {more} more" if more > 0 else "")
