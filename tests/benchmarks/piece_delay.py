"""Whether a piece waits for the office: the desk's act while rows of its store are gathered, or cannot be.

`python -m tests.benchmarks piece_delay [--rounds N]`: pieces are considered and tallied at a real desk on a
store of SQLite, in turns of a few pieces: alone; while a process tries an office that takes the connection
and never answers; while a process gathers another store of the same size; while one gathers this very store.
The last two use the machine alike, so that their ratio is what the store itself would hold up. The desk's
connection waits for no lock at all here: an act that met one would be refused, and counts. Server and
gatherer run on this machine too, as they do at no yard.
"""

import argparse
import math
import os
import secrets
import select
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import cycle
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import psycopg
from psycopg import sql
from psycopg.conninfo import make_conninfo

from console.desk import Desk
from console.ledger.keeping.store import Ledger
from console.ledger.rows.errors import StoreError
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, Connection, connected
from console.office.beside import give_way
from console.office.errors import OfficeError
from console.office.gathering import Place, gather
from console.office.schema import climb
from tests.benchmarks.console import quantile
from tests.benchmarks.office import served
from tests.conftest import DEMO_YARD
from tests.console.ledger.clock import brass

BACKLOG, BATCH, PIECES, ROUNDS = 40_000, 500, 8, 100
ENOUGH = 10_000
"""Rows that outlast a turn: with fewer left a gather begins anew, in an empty office."""
PLACE = Place(yard="North", terminal="T1", currency="EUR")
LINES = ("12.4 6063 ext", "3 c36000", "12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3", "8.2 extrusion 6063 bare")


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """What one piece took."""

    ms: float
    own_ms: float
    """Of it in the processor, for the desk alone."""
    is_refused: bool
    """It met a lock on the store."""


Turns = dict[str, list[list[Took]]]
ALONE, SILENT, OTHER, OWN = "alone", "office never answers", "another store gathered", "this store gathered"


def main() -> int:
    """Run the benchmark; 1 where a piece waits for a gather."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=ROUNDS)
    arguments = parser.parse_args()
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores at the start", flush=True)
    with TemporaryDirectory(prefix="office-", dir="/tmp") as name, served(Path(name)) as office:
        folder = Path(name) / "yard"
        (folder / "readings").mkdir(parents=True)
        (folder / "yard.toml").write_bytes((DEMO_YARD / "yard.toml").read_bytes())
        for store in (folder / "yard.sqlite3", Path(name) / "other.sqlite3"):
            _fill(store)
        times = _measured(folder, Path(name) / "other.sqlite3", office, arguments.rounds)
    return _told(times)


def _fill(store: Path) -> None:
    """Leave so many pieces that a gather takes longer than a turn."""
    with Ledger.open(store, now=_now, terminal="T1") as ledger, ledger.act():
        ledger.open_run("Ada")
        for number in range(BACKLOG):
            ledger.add_piece(brass(1000 + number), "Ada")


def _measured(folder: Path, other: Path, office: Address, rounds: int) -> Turns:
    """Return what the acts of every turn took."""
    times: Turns = {one: [] for one in (ALONE, SILENT, OTHER, OWN)}
    desk = Desk.open(folder, now=_now)
    desk.ledger.connection.execute("PRAGMA busy_timeout = 0")
    lines = cycle(LINES)
    _turn(desk, lines)
    with (
        _never_answers() as nobody,
        _beside(nobody, None) as silent,
        _beside(office, other) as of_other,
        _beside(office, folder / "yard.sqlite3") as own,
    ):
        busy = {ALONE: None, SILENT: silent, OTHER: of_other, OWN: own}
        for number in range(rounds):
            for what in list(busy)[:: 1 if number % 2 else -1]:
                times[what].append(_turn(desk, lines, busy[what]))
    desk.close()
    return times


def _turn(desk: Desk, lines: Iterator[str], beside: "subprocess.Popen[str] | None" = None) -> list[Took]:
    """Return what each of a few pieces took, while the process beside is at work."""
    if beside is not None:
        _ask(beside, "work")
    times = []
    for _ in range(PIECES):
        line, is_refused = next(lines), False
        began, began_own = time.perf_counter(), time.thread_time()
        try:
            desk.tally(desk.consider(line))
        except StoreError:
            is_refused = True
        own_ms, ms = (time.thread_time() - began_own) * 1e3, (time.perf_counter() - began) * 1e3
        times.append(Took(ms=ms, own_ms=own_ms, is_refused=is_refused))
    if beside is not None:
        _ask(beside, "rest")
    return times


def _ask(beside: "subprocess.Popen[str]", word: str) -> None:
    """Have a process begin or end its work; return once it has."""
    assert beside.stdin is not None
    assert beside.stdout is not None
    print(word, file=beside.stdin, flush=True)
    answer = beside.stdout.readline().strip()
    assert answer == word, answer


@contextmanager
def _beside(office: Address, store: Path | None) -> "Iterator[subprocess.Popen[str]]":
    """Give a process that gathers a store while it is asked to, or without one only tries the office."""
    words = [sys.executable, "-m", "tests.benchmarks.piece_delay", "--beside", office.conninfo]
    with subprocess.Popen(
        [*words, *([str(store)] if store else [])], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        yield process
        assert process.stdin is not None
        process.stdin.close()


@contextmanager
def _never_answers() -> Iterator[Address]:
    """Give the address of a port that takes every connection and says nothing."""
    with socket.create_server(("127.0.0.1", 0), backlog=512) as listener:
        port = listener.getsockname()[1]
        yield Address(conninfo=f"host=127.0.0.1 port={port} dbname=b user=u connect_timeout=2")


def beside(office: Address, store: Path | None) -> None:
    """Work whenever the other end of the pipe asks for it, until it asks for a rest; ends with the pipe."""
    give_way()
    if store is None:
        for _ in iter(sys.stdin.readline, ""):
            print("work", flush=True)
            while not _is_asked():
                with suppress(OfficeError), connected(office):
                    pass
            print(sys.stdin.readline().strip(), flush=True)
        return
    while True:
        with _empty_office(office) as empty, LedgerReader.open(store) as reader, connected(empty) as own:
            while BACKLOG - _rows_in(own) > ENOUGH:
                if not sys.stdin.readline():
                    return
                _gather_until_asked(reader, own)
                print(sys.stdin.readline().strip(), flush=True)


def _is_asked() -> bool:
    return bool(select.select([sys.stdin], [], [], 0)[0])


def _rows_in(office: Connection) -> int:
    found = office.execute("SELECT coalesce(max(seq), 0) FROM baywright.head").fetchone()
    return int(found[0]) if found else 0


class _Asked(Exception):  # noqa: N818 - no error
    """Somebody asked for a rest."""


def _gather_until_asked(reader: LedgerReader, office: Connection) -> None:
    """Gather in batches that keep the store read nearly all the time."""
    has_begun = False

    def tell(done: int, total: int) -> None:
        nonlocal has_begun
        if not has_begun:
            print("work", flush=True)
        has_begun = True
        if _is_asked():
            raise _Asked
        assert done < total, "the turn outlasted the rows"

    with suppress(_Asked):
        gather(reader, office, PLACE, tell=tell, batch_rows=BATCH)


@contextmanager
def _empty_office(office: Address) -> Iterator[Address]:
    """Give an office of the same server without a row."""
    name = f"baywright_{secrets.token_hex(6)}"
    with psycopg.connect(office.conninfo, autocommit=True) as keeper:
        keeper.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        address = Address(conninfo=make_conninfo(office.conninfo, dbname=name))
        with connected(address) as empty:
            climb(empty)
        yield address
        keeper.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))


def _told(times: Turns) -> int:
    """Print what the turns came to; 1 where a piece met a lock, or waits beyond chance."""
    print(
        f"{'':<24}{'p50 ms':>9}{'p99 ms':>9}{'own p50':>9}   ratio to alone, median of turns and 95 % of it"
    )
    for what, turns in times.items():
        all_ms = [one.ms for turn in turns for one in turn]
        own_ms = median(one.own_ms for turn in turns for one in turn)
        print(f"{what:<24}{median(all_ms):>9.2f}{quantile(all_ms, 0.99):>9.2f}{own_ms:>9.2f}   ", end="")
        print("{:.3f} ({:.3f} to {:.3f})".format(*_middle(_ratios(turns, times[ALONE]))))
    middle, low, high = _middle(_ratios(times[OWN], times[OTHER]))
    refused = sum(one.is_refused for turn in times[OWN] for one in turn)
    print(
        f"this store against another: {middle:.3f} ({low:.3f} to {high:.3f}), {len(times[OWN])} pairs; ",
        end="",
    )
    print(f"acts that met a lock: {refused} of {len(times[OWN]) * PIECES}")
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores at the end")
    return 1 if refused or low > 1.0 else 0


def _middle(ratios: list[float]) -> tuple[float, float, float]:
    """Return the median and what holds it with 95 %, by ranks (binomial, normal approximation)."""
    ranked, off = sorted(ratios), 0.98 * math.sqrt(len(ratios))
    low, high = max(0, int(len(ranked) / 2 - off)), min(len(ranked) - 1, int(len(ranked) / 2 + off))
    return median(ranked), ranked[low], ranked[high]


def _ratios(turns: list[list[Took]], others: list[list[Took]]) -> list[float]:
    """Return how each turn compares with its neighbour, by their medians."""
    return [
        median(one.ms for one in turn) / median(one.ms for one in other)
        for turn, other in zip(turns, others, strict=True)
    ]


def _now() -> datetime:
    return datetime.now(UTC)


if __name__ == "__main__":
    asked = sys.argv[1:]
    if asked[:1] == ["--beside"]:
        beside(Address(conninfo=asked[1]), Path(asked[2]) if asked[2:] else None)
    else:
        sys.exit(main())
