"""How fast rows are gathered, and how long the office's picture takes over years of them.

`python -m tests.benchmarks office [--pieces N]`: so many generated pieces, of fifteen terminals in three
yards over 250 days, gathered on a server of this machine (or the one that BAYWRIGHT_OFFICE_DSN names). Every
fiftieth piece is corrected, some wait on hold, some metal is drawn down each day; a row weighs what a row of
the demo yard weighs without its evidence, with `--evidence` with it.
"""

import argparse
import json
import os
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median

from console.commands.yard.trial_server import trial_server
from console.ledger.rows.chain import FIRST_PREV_HASH, HASHED_COLUMNS, row_hash
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.row_text import time_text
from console.ledger.rows.schema import climb as climb_store
from console.office.address import Address, Connection, connected
from console.office.gathering import Place, gather
from console.office.picture import picture_of
from console.office.schema import climb

YARDS, TERMINALS, DAYS = ("North", "South", "East"), 5, 250
BAYS = tuple(f"B{number:02d}" for number in range(14))
GRADES = ("304", "316", "6061", "6063", "C36000", "C26000", "C11000", "Ti-6Al-4V")
ROWS_TARGET, STOCK_TARGET_MS, MORNING_TARGET_S = 20_000, 300.0, 2.0
START = datetime(2026, 1, 5, 5, 0, tzinfo=UTC)
BODY = json.dumps({"line": "12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3", "sureness": "settled", "supplier": "Harrow"})
EVIDENCE = json.dumps({"candidates": [{"grade": grade, "reasons": ["x" * 120]} for grade in GRADES]})
Columns = tuple[str | int | None, ...]


def main() -> int:
    """Run the benchmark; 1 when a target is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pieces", type=int, default=500_000)
    parser.add_argument("--evidence", action="store_true", help="each piece with 1.2 kB of evidence")
    parser.add_argument("--folder", default="/tmp", help="where stores and server lie while it runs")
    arguments = parser.parse_args()
    print(_load(), "at the start", flush=True)
    with (
        tempfile.TemporaryDirectory(prefix="office-", dir=arguments.folder) as name,
        served(Path(name)) as address,
    ):
        rows, seconds = _gathered(
            Path(name), address, arguments.pieces, EVIDENCE if arguments.evidence else None
        )
        print(f"{rows} rows gathered in {seconds:.1f} s: {rows / seconds:.0f} rows/s (target {ROWS_TARGET})")
        with connected(address) as office:
            office.execute("ANALYZE")
            stock_ms, morning_s = _looked_at(office)
    print(_load(), "at the end")
    missed = [rows / seconds < ROWS_TARGET, stock_ms > STOCK_TARGET_MS, morning_s > MORNING_TARGET_S]
    print("a target was MISSED" if any(missed) else "every target was met")
    return 1 if any(missed) else 0


def _load() -> str:
    """Return how busy the machine is, so that a figure can be judged."""
    return f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"


@contextmanager
def served(folder: Path) -> Iterator[Address]:
    """Give an office without a row on a server as it comes, each commit on the disk."""
    if named := os.environ.get("BAYWRIGHT_OFFICE_DSN"):
        address = Address(conninfo=named)
        with connected(address) as office:
            climb(office)
        yield address
        return
    with trial_server(folder / "server") as started:
        address = Address(conninfo=started.get_uri())
        with connected(address) as office:
            climb(office)
        yield address


def _gathered(folder: Path, address: Address, pieces: int, evidence: str | None) -> tuple[int, float]:
    """Make each terminal's store and gather it; return rows and the seconds of the gathers alone."""
    rows, seconds, per_day = 0, 0.0, max(1, pieces // (len(YARDS) * TERMINALS * DAYS))
    for yard in YARDS:
        for number in range(TERMINALS):
            store = folder / f"{yard}-{number}.sqlite3"
            _make(store, f"{yard[0]}{number}", per_day, evidence)
            with LedgerReader.open(store) as reader, connected(address) as office:
                began = time.perf_counter()
                place = Place(yard=yard, terminal=f"{yard[0]}{number}", currency="EUR")
                taken = gather(reader, office, place).rows
                took = time.perf_counter() - began
            print(f"{yard} {number}: {taken / took:.0f} rows/s", flush=True)
            rows, seconds = rows + taken, seconds + took
            store.unlink()
    return rows, seconds


def _make(store: Path, terminal: str, per_day: int, evidence: str | None) -> None:
    """Write a terminal's year into a store, as its journal would."""
    own = sqlite3.connect(store, isolation_level=None)
    own.execute("PRAGMA synchronous = OFF")
    climb_store(own)
    own.execute("BEGIN")
    columns = ", ".join((*HASHED_COLUMNS, "row_hash"))
    places = ", ".join("?" * (len(HASHED_COLUMNS) + 1))
    own.executemany(
        f"INSERT INTO ledger ({columns}) VALUES ({places})", _chained(_year(terminal, per_day, evidence))
    )
    own.execute("COMMIT")
    own.close()


def _chained(rows: Iterator[Columns]) -> Iterator[Columns]:
    """Yield rows with number and hashes."""
    before = FIRST_PREV_HASH
    for seq, row in enumerate(rows, start=1):
        hashed = (seq, *row, before)
        before = row_hash(hashed)
        yield (*hashed, before)


def _year(terminal: str, per_day: int, evidence: str | None) -> Iterator[Columns]:
    """Yield the rows of a year of one terminal, without number and hashes."""
    for day in range(DAYS):
        morning, run = START + timedelta(days=day * 7 // 5), f"{terminal}-{day + 1:04d}"

        def row(kind: str, at: int, *said: str | int | None, id_: str = "", body: str = "{}") -> Columns:
            when = time_text(morning + timedelta(seconds=at * 20))  # noqa: B023 - used within the day
            refers, bay, grade, mass_g, pieces, tag = (*said, None, None, None, None, None, None)[:6]
            held = evidence if kind == "piece" else None
            start = (f"{id_}{kind}", kind, when, "Ada", terminal, run)  # noqa: B023 - as above
            return (*start, refers, bay, grade, mass_g, pieces, tag, body, held)

        yield row("open", 0, id_=f"{run}-")
        for number in range(per_day):
            id_ = f"{run}-{number:05d}-"
            tag = f"{terminal}-H{day * per_day + number}" if number % 200 == 7 else None
            said = (None, BAYS[number % 14], GRADES[number % 8], 100 + number % 4000, 1, tag)
            yield row("piece", number, *said, id_=id_, body=BODY)
            if number % 50 == 3:
                yield row(
                    "move", number, f"{id_}piece", BAYS[(number + 3) % 14], id_=id_, body='{"reason":"x"}'
                )
        for at, bay in enumerate(BAYS):
            mass_g = 100 * max(1, per_day)
            yield row(
                "draw-down", per_day, None, bay, None, mass_g, id_=f"{run}-D{at:02d}-", body='{"reason":""}'
            )
        yield row("close", per_day + 1, id_=f"{run}-", body='{"explanation":""}')


def _looked_at(office: Connection) -> tuple[float, float]:
    """Print what the office's questions cost; return the stock view [ms] and the morning report [s]."""
    (size,) = office.execute("SELECT pg_size_pretty(pg_database_size(current_database()))").fetchone() or (
        "",
    )
    print(f"database {size}; best, median of five")
    last_day = START + timedelta(days=(DAYS - 1) * 7 // 5)

    def stock() -> None:
        office.execute("SELECT * FROM baywright.stock_v").fetchall()

    def morning() -> None:
        picture_of(office, start=last_day, end=last_day + timedelta(days=1))

    def pieces() -> None:
        office.execute(
            "SELECT yard, grade_id, sum(mass_g) FROM baywright.piece_v WHERE NOT is_void AND at >= %s AND at "
            "< %s GROUP BY yard, grade_id",
            (last_day, last_day + timedelta(days=1)),
        ).fetchall()

    found = {}
    for name, look in (("stock view", stock), ("morning report", morning), ("a day by grade", pieces)):
        times = sorted(_seconds(look) for _ in range(5))
        found[name] = median(times)
        print(f"{name:<16}{times[0] * 1000:>9.1f} ms{median(times) * 1000:>9.1f} ms")
    return found["stock view"] * 1000, found["morning report"]


def _seconds(look: Callable[[], None]) -> float:
    began = time.perf_counter()
    look()
    return time.perf_counter() - began
