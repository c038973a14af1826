"""Whether kills of the gatherer lose anything: 200 of them by default, at moments that nobody chose.

`python -m tests.benchmarks gather_kills [--kills N] [--seed S]`: a store that grows by some pieces before
each gather, and a gather in a process of its own that is killed by SIGKILL some time after it began to send,
on a server of this machine. After every kill the office is looked at: no row twice, none left out. At the end
one gather goes through, and store and office must be even, row by row and sum by sum.
"""

import argparse
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from console.ledger.keeping.store import Ledger
from console.ledger.keeping.verify import verify
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, Connection, connected
from console.office.comparing import compare
from console.office.gathering import Place, gather
from tests.benchmarks.office import served
from tests.console.ledger.clock import brass, open_ledger

PLACE = Place(yard="North", terminal="T1", currency="EUR")
BATCH, PIECES = 20, 60
LONGEST_S = 0.15
"""A gather of PIECES rows takes about so long once it has begun to send."""
GATHERER = f"""
import sys
from pathlib import Path
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, connected
from console.office.gathering import Place, gather
place = Place(yard="North", terminal="T1", currency="EUR")
with LedgerReader.open(Path(sys.argv[1])) as reader, connected(Address(conninfo=sys.argv[2])) as office:
    print("begins", flush=True)
    gather(reader, office, place, batch_rows={BATCH})
"""


def main() -> int:
    """Kill gatherers; 1 when anything was lost, doubled or changed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="office-", dir="/tmp") as name, served(Path(name)) as address:
        store = Path(name) / "yard.sqlite3"
        killed, wrong = kills(store, address, arguments.kills, random.Random(arguments.seed))
        with connected(address) as office:
            wrong += at_the_end(store, office)
    print(f"{killed} of {arguments.kills} gatherers were killed before their end; wrong: {wrong}")
    return 1 if wrong else 0


def kills(store: Path, address: Address, count: int, chance: random.Random) -> tuple[int, int]:
    """Return how many gatherers died of the kill, and after how many of them the office was not whole."""
    killed = wrong = 0
    with open_ledger(store) as ledger, connected(address) as office:
        ledger.open_run("Ada")
        for _ in range(count):
            add_pieces(ledger)
            killed += killed_once(store, address, chance.uniform(0.0, LONGEST_S))
            wrong += not is_whole(office)
    return killed, wrong


def add_pieces(ledger: Ledger) -> None:
    """Sort some more metal."""
    with ledger.act():
        for mass_g in range(1000, 1000 + PIECES):
            ledger.add_piece(brass(mass_g), "Ada")


def killed_once(store: Path, address: Address, after_s: float) -> bool:
    """Begin a gather and kill it so long after it begins to send; return whether that ended it."""
    words = [sys.executable, "-c", GATHERER, str(store), address.conninfo]
    environment = {**os.environ, "PYTHONPATH": os.getcwd()}
    begun = subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, text=True)
    assert begun.stdout is not None
    begun.stdout.readline()
    time.sleep(after_s)
    begun.kill()
    begun.communicate()
    return begun.returncode == -signal.SIGKILL


def is_whole(office: Connection) -> bool:
    """Return whether the office has each row once, in one chain, and sums that agree, all at one moment.

    The session of a gatherer that was killed may still finish what it was sent.
    """
    with office.transaction():
        office.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        rows = office.execute(
            "SELECT count(*), count(DISTINCT seq), coalesce(max(seq), 0), "
            "count(*) FILTER (WHERE kind = 'piece'), coalesce(sum(mass_g) FILTER (WHERE kind = 'piece'), 0) "
            "FROM baywright.ledger_row"
        ).fetchone()
        sums = office.execute(
            "SELECT coalesce(sum(entries), 0), coalesce(sum(lying_g), 0) FROM baywright.stock_v"
        ).fetchone()
        heads = office.execute("SELECT coalesce(max(seq), 0) FROM baywright.head").fetchone()
    assert rows is not None, "an aggregate gives a row"
    return rows[0] == rows[1] == rows[2] and sums == rows[3:] and heads == (rows[2],)


def at_the_end(store: Path, office: Connection) -> int:
    """Gather what is left; return how many of the last looks found something wrong."""
    office.execute(
        "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity "
        "WHERE datname = current_database() AND pid <> pg_backend_pid()"
    )
    with LedgerReader.open(store) as reader:
        done = gather(reader, office, PLACE)
        found = compare(reader, office)
        is_kept = verify(reader).is_whole
        chains = office.execute("SELECT count(*) FROM baywright.chain").fetchone()
    print(f"{found.newest} rows in the store, {done.rows} of them gathered at the end")
    return [found.is_even, is_whole(office), chains == (1,), is_kept].count(False)


if __name__ == "__main__":
    sys.exit(main())
