"""Whether a ledger is as it was left: compares it with its anchors, looks at its guards and the open run."""

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from hashlib import sha256
from pathlib import Path

from console.ledger.keeping.anchors import Anchor, anchors_of
from console.ledger.keeping.going_back import hash_at, last_seq
from console.ledger.keeping.verify import changed_rows, guard_findings
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import StoreDoubted
from console.ledger.rows.schema import STEPS, Step

GO_ON = (
    "Put the right file back, or restore a backup. To go on with what is there all the same, say so "
    'with "baywright verify --go-on", or by number in the console: a row of the ledger will keep it.'
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubts:
    """What is wrong with a ledger at its opening."""

    said: tuple[str, ...] = ()
    """A sentence each; empty for a ledger that is as it was left."""
    runs: int = 0
    """Runs that were opened in the history that is missing: their numbers are not given again."""
    tags: int = 0
    """Highest tag number of that history."""
    changed: tuple[tuple[int, str], ...] = ()
    """Rows that were changed, each with the hash of what it holds now."""

    def __bool__(self) -> bool:
        return bool(self.said)


def doubts_of(source: LedgerSource, steps: tuple[Step, ...] = STEPS) -> Doubts:
    """Return what is wrong with an open store: rows missing or other ones, guards, rows of the open run.

    A changed row that somebody consented to is no doubt again, as long as it holds what it held then.
    """
    connection = source.connection
    here = partial(hash_at, connection)
    missing = _compared(source.path, anchors_of(source.path, here(1)), here, last_seq(connection))
    changed = {
        one: _held_by(connection, one.seq) for one in changed_rows(source, _open_run_since(connection))
    }
    agreed = set(_agreed_to(connection)) if changed else set()
    open_to_doubt = {one: held for one, held in changed.items() if (one.seq, held) not in agreed}
    said = [
        *missing.said,
        *(f"{finding.what[0].upper()}{finding.what[1:]}." for finding in guard_findings(source, steps)),
        *(f"Row {one.seq}: {one.what}." for one in open_to_doubt),
    ]
    rows = tuple((one.seq, held) for one, held in open_to_doubt.items() if one.seq is not None)
    return Doubts(said=tuple(said), runs=missing.runs, tags=missing.tags, changed=rows)


def _held_by(connection: sqlite3.Connection, seq: int | None) -> str:
    """Return the hash of what a row holds, its own hash with it."""
    columns = connection.execute("SELECT * FROM ledger WHERE seq = ?", (seq,)).fetchone()
    return sha256(repr(columns).encode()).hexdigest()


def _agreed_to(connection: sqlite3.Connection) -> Iterator[tuple[int, str]]:
    """Yield the changed rows that rows of consent name, with what they held."""
    for (named,) in connection.execute(
        "SELECT json_extract(body, '$.changed') FROM ledger INDEXED BY ledger_by_run WHERE kind = 'consent'"
    ):
        for seq, held in json.loads(named or "[]"):
            yield int(seq), str(held)


def missing_store(path: Path) -> Doubts:
    """Return the doubts about a store that is not there or empty; none where none is known to have been."""
    if path.exists() and path.stat().st_size > 0:
        return Doubts()
    return _compared(path, anchors_of(path, None), lambda seq: None, 0)


def doubted(path: Path, said: Sequence[str]) -> StoreDoubted:
    """Return the error that tells what is in doubt, and what would be right."""
    return StoreDoubted(f"The ledger {path} is not as it was left. {' '.join(said)} {GO_ON}", tuple(said))


def _compared(
    path: Path, anchors: Iterable[Anchor], hash_of: Callable[[int], str | None], newest: int
) -> Doubts:
    """Return the doubts that the anchors raise, told by the one that knows most."""
    wrong = [one for one in anchors if hash_of(one.newest[0]) != one.newest[1]]
    if not wrong:
        return Doubts()
    worst = max(wrong, key=lambda one: one.newest[0])
    common = max((seq for one in wrong for seq, own in one.heads if hash_of(seq) == own), default=0)
    return Doubts(
        said=(_told(path, worst, common, newest),),
        runs=max(one.runs for one in wrong),
        tags=max(one.tags for one in wrong),
    )


def _told(path: Path, known: Anchor, common: int, newest: int) -> str:
    where = "" if known.store == str(path.resolve()) else f" in {known.store}"
    until = f"row {known.newest[0]} ({known.newest[1][:16]}){where}"
    if newest == 0:
        return f"It is missing or empty; one was known here up to {until}."
    if common == 0:
        return f"It is another ledger, of {newest} rows; the one known here went up to {until}."
    what = "is older than it was" if newest < known.newest[0] else "went another way than was known"
    return (
        f"It {what}: it has {newest} rows, and the history known went up to {until}. The last common row "
        f"that is known is row {common}."
    )


def _open_run_since(connection: sqlite3.Connection) -> int:
    """Return the number of the first row of the open run, or of the newest run."""
    found = connection.execute("SELECT max(seq) FROM ledger WHERE kind = 'open'").fetchone()[0]
    return int(found or 1)


def numbers_given(connection: sqlite3.Connection) -> Iterator[tuple[int, int]]:
    """Yield runs and tags given in histories that were left behind, as the rows of consent keep them."""
    rows = connection.execute(
        "SELECT json_extract(body, '$.runs'), json_extract(body, '$.tags') FROM ledger WHERE seq IN "
        "(SELECT seq FROM ledger INDEXED BY ledger_by_run WHERE kind = 'consent')"
    )
    for runs, tags in rows:
        yield int(runs or 0), int(tags or 0)
