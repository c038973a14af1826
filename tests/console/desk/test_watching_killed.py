"""The console that tallies readings is killed at random moments, again and again."""

import multiprocessing
import random
import signal
import time
from datetime import UTC, datetime
from itertools import count
from multiprocessing.process import BaseProcess
from pathlib import Path

from console.desk.readings.offered import kept_form
from console.desk.readings.waiting import WaitingReadings
from console.desk.readings.watching import FolderWatch
from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.reading_rows import reading_acts, rows_of
from console.ledger.rows.rows import PieceEntry
from console.ledger.rows.runs import open_run_of
from console.yard.yard import Yard
from grade_library.library import load
from tests.yards import load_yard

PIECES = 80
KILLS = 15
SEED = 20330817


def now() -> datetime:
    return datetime.now(UTC)


def work(yard: Yard, store: Path, seed: int) -> None:
    """Tally every reading that waits, each with a look after it, as fast as it goes; undo one in five."""
    seconds, chance = count(time.time(), 10), random.Random(seed)
    with Ledger.open(store, now=now, terminal="T1") as ledger:
        if open_run_of(ledger) is None:
            ledger.open_run("Ilse")
        watch, readings = FolderWatch(yard, store, clock=lambda: next(seconds)), WaitingReadings(ledger, yard)
        for _ in range(2):
            readings.add(watch.look().pieces)
        while waiting := readings.waiting():
            kept = kept_form(waiting[0], yard)
            row = ledger.add_piece(
                PieceEntry(bay="STN", grade_id=None, mass_g=1000, pieces=1, line="1", readings=kept), "Ilse"
            )
            if chance.random() < 0.2:
                ledger.void(row.row_id, "undo", "Ilse")
            watch.look()
        watch.close()


def held(store: Path) -> tuple[int, list[str]]:
    """Return how many acts on readings there are, and the row of every reading that a piece now holds."""
    with LedgerReader.open(store) as reader:
        acts = reading_acts(reader)
    found: list[str] = []
    for act in acts:
        (row,) = rows_of(act.readings)
        if act.is_taken:
            found.append(row)
        else:
            found.remove(row)
    return len(acts), found


def wait_for_acts(child: BaseProcess, store: Path, acts: int) -> None:
    """Wait until the child has written so many acts, or has ended."""
    while child.is_alive():
        if store.exists() and store.stat().st_size and held(store)[0] >= acts:
            return
        time.sleep(0.001)


def test_killed_at_random_no_reading_is_lost_or_tallied_twice(tmp_path: Path) -> None:
    """After kills at any moment, between tally, undo and mark too, every reading stands in one piece."""
    (tmp_path / "yard" / "readings").mkdir(parents=True)
    demo = Path(__file__).resolve().parents[3] / "demo_yard" / "yard.toml"
    (tmp_path / "yard" / "yard.toml").write_bytes(demo.read_bytes())
    yard, store = load_yard(tmp_path / "yard", load()), tmp_path / "yard" / "yard.sqlite3"
    rows = "".join(f"P{number},18.{number:03d},8.1\n" for number in range(PIECES))
    (tmp_path / "yard" / "readings" / "a.csv").write_text(f"piece,Cr,Ni\n{rows}", encoding="utf-8")
    Ledger.open(store, now=now, terminal="T1").close()
    chance, fork, killed = random.Random(SEED), multiprocessing.get_context("fork"), 0

    for kill in range(KILLS + 1):
        child = fork.Process(target=work, args=(yard, store, SEED + kill))
        child.start()
        if kill < KILLS:
            wait_for_acts(child, store, held(store)[0] + chance.randint(1, 6))
            time.sleep(chance.uniform(0.0, 0.01))
            child.kill()
        child.join()
        killed += child.exitcode == -signal.SIGKILL

    _, found = held(store)
    assert child.exitcode == 0
    assert killed > KILLS / 2, "the kills fell too late to prove anything"
    assert len(found) == len(set(found)) == PIECES
