"""Stores with every kind of damage, each by its seed, and what the program does with them."""

import json
import random
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from console.desk import Desk
from console.ground.errors import BaywrightError
from console.ledger.keeping.salvage import salvage
from console.ledger.keeping.verify import verify
from console.ledger.rows.queries import LedgerReader
from tests.console.ledger.clock import SteppingClock, brass, open_ledger

PAGE = 4096
PIECES = 60


def make_store(store: Path) -> None:
    """Make a store with rows on many pages, some longer than a page."""
    with open_ledger(store) as ledger:
        ledger.open_run("Ada")
        for number in range(PIECES):
            story = "x" * (9000 if number % 10 == 0 else 1200)
            ledger.add_piece(replace(brass(1000 + number, bay="YBR"), evidence={"story": story}), "Ada")


def damage(store: Path, seed: int) -> str:
    """Damage a store in the way that a seed says; return what was done."""
    chance = random.Random(seed)
    kind = chance.choice(
        ["bytes", "page", "head", "cut", "text", "number", "table", "trigger", "kind", "swap"]
    )
    if kind in ("table", "text", "number", "trigger", "kind"):
        _by_sql(store, kind, chance)
        return f"{seed}: {kind}"
    data = bytearray(store.read_bytes())
    at = chance.randrange(100 if kind == "head" else len(data))
    if kind == "bytes":
        for _ in range(chance.randrange(1, 200)):
            data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    elif kind == "page":
        start = at // PAGE * PAGE
        data[start : start + PAGE] = chance.choice([b"\0" * PAGE, chance.randbytes(PAGE)])
    elif kind == "head":
        data[at] ^= 1 << chance.randrange(8)
    elif kind == "swap":
        one, other = (chance.randrange(1, len(data) // PAGE) * PAGE for _ in range(2))
        data[one : one + PAGE], data[other : other + PAGE] = (
            data[other : other + PAGE],
            data[one : one + PAGE],
        )
    else:
        del data[at:]
    store.write_bytes(data)
    return f"{seed}: {kind} at {at}"


def _by_sql(store: Path, kind: str, chance: random.Random) -> None:
    seq = chance.randrange(1, PIECES + 2)
    changes = {
        "table": "DROP TABLE ledger",
        "trigger": "CREATE TRIGGER t BEFORE INSERT ON ledger BEGIN DELETE FROM ledger; END",
        "number": f"UPDATE ledger SET seq = {10**15} WHERE seq = {seq}",
        "kind": f"UPDATE ledger SET kind = 'nothing', at_utc = 'noon' WHERE seq = {seq}",
        "text": f"UPDATE ledger SET body = CAST(x'ff7b00' AS TEXT) WHERE seq = {seq}",
    }
    with closing(sqlite3.connect(store)) as plain, plain:
        for name in ("ledger_never_changes", "ledger_never_shrinks"):
            plain.execute(f"DROP TRIGGER {name}")
        plain.execute(changes[kind])


def tried(yard: Path, store: Path, seed: int) -> str:
    """Damage a copy of a store, start on it, verify it, salvage it; return what was done.

    Raises:
        AssertionError: Something but an error of ours came out, or a row was lost that SQLite can read.
    """
    for file in yard.glob("yard.sqlite3*"):
        file.unlink()
    copy = yard / "yard.sqlite3"
    shutil.copy(store, copy)
    done = damage(copy, seed)
    readable = _readable(copy)
    (yard / "rows.jsonl").unlink(missing_ok=True)
    try:
        saved = salvage(copy, yard / "rows.jsonl")
        lines = [json.loads(line) for line in (yard / "rows.jsonl").read_text(encoding="utf-8").splitlines()]
        whole = {line["seq"] for line in lines if line["is_whole"]}
        assert readable <= whole, f"{done}: salvage misses {sorted(readable - whole)}"
        assert saved.is_all == (whole == set(range(1, saved.known + 1)) and len(lines) == saved.known > 0)
        _quietly(lambda: _verified(copy))
        _quietly(lambda: Desk.open(yard, now=SteppingClock()).close())
        _quietly(lambda: Desk.open(yard, now=SteppingClock(), go_on=True).close())
    except Exception as error:
        raise AssertionError(f"{done}: {error!r}") from error
    return done


def _verified(store: Path) -> None:
    with LedgerReader.open(store) as reader:
        verify(reader)


def _quietly(act: object) -> None:
    try:
        act()  # type: ignore[operator]
    except BaywrightError as error:
        assert str(error)


def _readable(store: Path) -> set[int]:
    """Return the numbers of the whole rows that SQLite reads, asked number by number."""
    found: set[int] = set()
    try:
        with LedgerReader.open(store) as reader:
            from console.ledger.keeping.raw_rows import is_whole
            from console.ledger.keeping.verify import _COLUMNS

            for seq in range(1, PIECES + 2):
                try:
                    row = reader.connection.execute(
                        f"SELECT {_COLUMNS} FROM ledger WHERE seq = ?", (seq,)
                    ).fetchone()
                except (sqlite3.DatabaseError, UnicodeDecodeError):
                    continue
                if row is not None and is_whole(row):
                    found.add(seq)
    except BaywrightError:
        pass
    return found
