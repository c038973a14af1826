"""A process that enters pieces and is killed while it does; also run as the process itself."""

import random
import subprocess
import sys
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from time import sleep

from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.runs import open_run_of
from tests.console.ledger.clock import brass

LONGEST_LIFE_S = 0.08


@dataclass(frozen=True, slots=True, kw_only=True)
class KillResult:
    """What a series of kills came to."""

    kills: int
    acknowledged: int
    lost: int
    """Acknowledged pieces that are not there afterwards."""
    doubled: int
    unacknowledged: int
    """Pieces that were written but whose acknowledgement was cut off: at most one a kill."""
    findings: int
    """What the check of the whole store finds at the end."""


def kill_often(store: Path, *, kills: int, seed: int) -> KillResult:
    """Start a process that enters pieces, kill it at a random moment, and again, on one store."""
    chance = random.Random(seed)
    acknowledged: list[str] = []
    for _ in range(kills):
        acknowledged += _pieces_of_one_life(store, chance.uniform(0.0, LONGEST_LIFE_S))
    with LedgerReader.open(store) as reader:
        lines = [
            line
            for (line,) in reader.connection.execute(
                "SELECT json_extract(body, '$.line') FROM ledger WHERE kind = 'piece'"
            )
        ]
        findings = len(verify(reader).findings)
    return KillResult(
        kills=kills,
        acknowledged=len(acknowledged),
        lost=len(set(acknowledged) - set(lines)),
        doubled=len(lines) - len(set(lines)),
        unacknowledged=len(set(lines) - set(acknowledged)),
        findings=findings,
    )


def _pieces_of_one_life(store: Path, life_s: float) -> list[str]:
    """Return the pieces that one process acknowledged before it was killed, a while after its first."""
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.console.ledger.killing", str(store)], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    first = child.stdout.readline()
    sleep(life_s)
    child.kill()
    rest = child.stdout.read()
    child.stdout.close()
    child.wait()
    # A line without its end was not acknowledged: the process died while it spoke.
    return [line for line in (first + rest).split("\n")[:-1] if line]


def main() -> None:
    """Enter pieces for ever; say each one's line once it is on disk."""
    ledger = Ledger.open(Path(sys.argv[1]), now=lambda: datetime.now(UTC), terminal="T1")
    if open_run_of(ledger) is None:
        ledger.open_run("Ada")
    number = ledger.connection.execute("SELECT count(*) FROM ledger").fetchone()[0]
    while True:
        number += 1
        entry = brass(1000 + number)
        ledger.add_piece(entry, "Ada")
        print(entry.line, flush=True)


if __name__ == "__main__":
    main()
