"""Looks whether the ledger is whole: returns findings, repairs nothing."""

import json
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from console.ledger.keeping.raw_rows import raw_rows
from console.ledger.rows.chain import FIRST_PREV_HASH, HASHED_COLUMNS, row_hash
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.rows import RowKind
from console.ledger.rows.schema import STEPS, Step
from console.ledger.rows.trouble import UNREADABLE

_COLUMNS = ", ".join((*HASHED_COLUMNS, "row_hash"))
_KINDS = frozenset(kind.value for kind in RowKind)
TELL_EVERY = 500
"""Rows between two words about how far the look along the chain is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is wrong with the store."""

    seq: int | None
    """The row it is about, None when it is about the store."""
    what: str
    """What is wrong, in a sentence."""
    expected: str
    """What was expected in its place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verification:
    """What a check of the whole store found."""

    findings: tuple[Finding, ...]
    """Empty when everything is in order."""
    rows: int
    """Rows that could be read."""
    whole_rows: int
    """Rows whose content agrees with their hash: these can be saved."""
    last_seq: int
    last_hash: str
    """Of the newest row that could be read; a printed handover shows whether rows were cut off after it."""

    @property
    def is_whole(self) -> bool:
        """Whether nothing was found."""
        return not self.findings


@dataclass(slots=True)
class _Walk:
    """Where the check along the chain stands."""

    seq: int = 0
    row_hash: str = FIRST_PREV_HASH
    row_id: str = ""
    rows: int = 0
    whole_rows: int = 0


def verify(
    source: LedgerSource,
    *,
    printed: tuple[int, str] | None = None,
    tell: Callable[[int, int], None] = lambda done, total: None,
) -> Verification:
    """Check the store: structure, guards, and every row against the chain.

    A chain cannot tell by itself that rows were cut off at its end; a row number and hash from a printed
    handover can.

    Args:
        source: The ledger or a reader.
        printed: Number of a row and the beginning of its hash, as printed earlier.
        tell: Is told now and then how many rows were looked at, and of how many.
    """
    findings = [*_structure(source), *guard_findings(source)]
    walk, total = _Walk(), _rows_by_index(source.connection)
    for columns in _rows(source, findings):
        findings.extend(_check_row(columns, walk))
        if walk.rows % TELL_EVERY == 0:
            tell(walk.rows, total)
    if printed is not None:
        findings.extend(_check_printed(source, *printed))
    return Verification(
        findings=tuple(findings),
        rows=walk.rows,
        whole_rows=walk.whole_rows,
        last_seq=walk.seq,
        last_hash=walk.row_hash,
    )


def _of_store(what: str, expected: str) -> Finding:
    return Finding(seq=None, what=what, expected=expected)


def _structure(source: LedgerSource) -> Iterator[Finding]:
    """Yield what SQLite itself finds wrong with the file."""
    try:
        answers = [text for (text,) in source.connection.execute("PRAGMA integrity_check(20)")]
    except UNREADABLE as error:
        answers = [str(error)]
    for answer in answers:
        if answer != "ok":
            yield _of_store(f"the file is damaged: {answer}", "ok")


def guard_findings(source: LedgerSource, steps: tuple[Step, ...] = STEPS) -> Iterator[Finding]:
    """Yield what is missing or altered of the table, its indexes and the triggers that guard it."""
    try:
        there = _shape(source.connection)
    except UNREADABLE as error:
        yield _of_store(f"the store's shape cannot be read: {error}", "readable")
        return
    for name, statement in _whole_shape(steps).items():
        if name not in there:
            yield _of_store(f"{name} is missing from the store", statement)
        elif there[name] != statement:
            yield _of_store(f"{name} was altered: {there[name]}", statement)
    for name in there.keys() - _whole_shape(steps).keys():
        yield _of_store(f"{name} does not belong in the store", "nothing")


@cache
def _whole_shape(steps: tuple[Step, ...] = STEPS) -> dict[str, str]:
    """Return the shape that a new store has."""
    fresh = sqlite3.connect(":memory:", isolation_level=None)
    try:
        for step in steps:
            for statement in step:
                fresh.execute(statement)
        return _shape(fresh)
    finally:
        fresh.close()


def _shape(connection: sqlite3.Connection) -> dict[str, str]:
    """Return name and statement, blanks evened out, of all that makes up the store."""
    found = connection.execute("SELECT type || ' ' || name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {str(name): " ".join(str(statement).split()) for name, statement in found}


def restore_guards(connection: sqlite3.Connection) -> None:
    """Put missing triggers and indexes back, and take away triggers and views that do not belong there."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        there = _shape(connection)
        whole = _whole_shape()
        for name in there:
            kind, own = name.split(" ", 1)
            if there[name] != whole.get(name) and kind in ("trigger", "view", "index"):
                quoted = own.replace('"', '""')
                connection.execute(f'DROP {kind} "{quoted}"')
        for name, statement in whole.items():
            if there.get(name) != statement and not name.startswith("table "):
                connection.execute(statement)
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def changed_rows(source: LedgerSource, first: int, count: int = -1) -> Iterator[Finding]:
    """Yield what is wrong with the rows from a number on, each looked at against the row before it.

    Args:
        source: The ledger or a reader.
        first: Number of the first row to look at.
        count: How many rows; below 0 all.
    """
    start = source.connection.execute(
        "SELECT seq, row_hash, row_id FROM ledger WHERE seq = ?", (first - 1,)
    ).fetchone()
    walk = _Walk(seq=start[0], row_hash=start[1], row_id=start[2]) if start else _Walk(seq=first - 1)
    for columns in source.connection.execute(
        f"SELECT {_COLUMNS} FROM ledger WHERE seq >= ? ORDER BY seq LIMIT ?", (first, count)
    ):
        yield from _check_row(columns, walk)


def _rows(source: LedgerSource, findings: list[Finding]) -> Iterator[tuple[Any, ...]]:
    """Yield the rows in order; where the file is damaged, say so and go on with the rows that can be read."""
    connection = source.connection
    last = 0
    try:
        for columns in connection.execute(f"SELECT {_COLUMNS} FROM ledger NOT INDEXED ORDER BY seq"):
            last = columns[0]
            yield columns
    except UNREADABLE as error:
        findings.append(Finding(seq=last + 1, what=f"cannot be read: {error}", expected="a readable row"))
        yield from _rows_one_by_one(source, last + 1)


def _rows_one_by_one(source: LedgerSource, first: int) -> Iterator[tuple[Any, ...]]:
    """Yield the rows that SQLite can still read beyond a damaged place, of those that lie in the file."""
    try:
        numbers = {int(str(row[0])) for row in raw_rows(source.path)}
    except OSError:
        return
    for seq in sorted(number for number in numbers if number >= first):
        try:
            columns = source.connection.execute(
                f"SELECT {_COLUMNS} FROM ledger WHERE seq = ?", (seq,)
            ).fetchone()
        except (*UNREADABLE, OverflowError):
            continue  # the gap in the chain is found and named by the walk along it
        if columns is not None:
            yield columns


def _rows_by_index(connection: sqlite3.Connection) -> int:
    """Return the highest row number that an index names, 0 when no index can be read either."""
    try:
        newest = connection.execute("SELECT max(seq) FROM ledger INDEXED BY ledger_by_run").fetchone()[0]
        return int(newest or 0)
    except UNREADABLE:
        return 0


def _check_row(columns: tuple[Any, ...], walk: _Walk) -> Iterator[Finding]:
    """Yield what is wrong with one row, given the row before it."""
    *hashed, own_hash = columns
    values = dict(zip(HASHED_COLUMNS, hashed, strict=True))
    seq, row_id, prev_hash = int(str(values["seq"])), str(values["row_id"]), str(values["prev_hash"])

    def finding(what: str, expected: str) -> Finding:
        return Finding(seq=seq, what=what, expected=expected)

    if seq != walk.seq + 1:
        missing = f"row {walk.seq + 1}" if seq == walk.seq + 2 else f"rows {walk.seq + 1} to {seq - 1}"
        yield finding(f"{missing} before this one: missing", f"row {walk.seq + 1}")
    elif prev_hash != walk.row_hash:
        yield finding(
            f"row {seq - 1} is not the one that this row followed", f"a row with the hash {prev_hash}"
        )
    if not _agrees(hashed, own_hash):
        yield finding("this row was changed, or moved from another place", f"the hash {own_hash}")
    else:
        walk.whole_rows += 1
    if row_id <= walk.row_id:
        yield finding(f"out of order: it was written before row {walk.seq}", f"an id after {walk.row_id}")
    if (
        values["kind"] not in _KINDS
        or not _is_json(values["body"])
        or not _is_json(values["evidence"] or "{}")
    ):
        yield finding("this row cannot be understood", "a kind of row and JSON that this program writes")
    walk.seq, walk.row_hash, walk.row_id, walk.rows = seq, str(own_hash), row_id, walk.rows + 1


def _agrees(hashed: list[Any], own_hash: object) -> bool:
    """Return whether a row agrees with its hash; one that holds what no row can hold does not."""
    try:
        return row_hash(hashed) == own_hash
    except TypeError:
        return False


def _is_json(text: object) -> bool:
    try:
        return isinstance(json.loads(str(text)), dict)
    except (ValueError, RecursionError):
        return False


def _check_printed(source: LedgerSource, seq: int, hash_beginning: str) -> Iterator[Finding]:
    """Yield a finding unless the row that was printed earlier is there with the same hash."""
    found = source.connection.execute("SELECT row_hash FROM ledger WHERE seq = ?", (seq,)).fetchone()
    expected = f"the hash {hash_beginning}..."
    if found is None:
        yield Finding(seq=seq, what="the printed row is missing", expected=expected)
    elif not str(found[0]).startswith(hash_beginning.lower()):
        yield Finding(seq=seq, what="the row is not the printed one", expected=expected)
