"""Whatever ends a gather in the middle: nothing is lost, nothing is there twice, the next one goes on."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, Connection, connected
from console.office.comparing import compare
from console.office.errors import OfficeError
from console.office.gathering import gather
from tests.console.ledger.clock import brass
from tests.console.office.conftest import NORTH
from tests.console.office.proxy import cut_after

PIECES = 60
KILLED = """
import os, signal, sys
from pathlib import Path
from console.ledger.rows.queries import LedgerReader
from console.office import gathering
from console.office.address import Address, connected
from tests.console.office.conftest import NORTH
store, conninfo, at = sys.argv[1], sys.argv[2], int(sys.argv[3])

class Reader:
    def __init__(self, reader):
        self.path, self.inner, self.left = reader.path, reader.connection, at
        self.connection = self
    def execute(self, statement, values=()):
        return self.inner.execute(statement, values)

def killing(row, hashed=gathering.row_hash):
    reader.left -= 1
    if reader.left == 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return hashed(row)

gathering.row_hash = killing
with LedgerReader.open(Path(store)) as opened, connected(Address(conninfo=conninfo)) as office:
    reader = Reader(opened)
    gathering.gather(reader, office, NORTH, batch_rows=10)
"""


@pytest.fixture
def worked(ledger: Ledger, store: Path) -> Path:
    """A store of sixty pieces and the row that opened their run."""
    with ledger.act():
        for mass_g in range(1000, 1000 + PIECES):
            ledger.add_piece(brass(mass_g), "Ada")
    return store


def finished(store: Path, office: Connection) -> bool:
    """Gather the rest; return whether store and office are even and each row is there once."""
    # The server may not have noticed yet that the other end is gone.
    office.execute(
        "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity "
        "WHERE datname = current_database() AND pid <> pg_backend_pid()"
    )
    with LedgerReader.open(store) as reader:
        gather(reader, office, NORTH)
        rows = office.execute(
            "SELECT count(*), count(DISTINCT seq), max(seq) FROM baywright.ledger_row"
        ).fetchone()
        lying = office.execute("SELECT sum(lying_g), sum(entries) FROM baywright.stock_v").fetchone()
        mass_g = sum(range(1000, 1000 + PIECES))
        return rows == (PIECES + 1,) * 3 and lying == (mass_g, PIECES) and compare(reader, office).is_even


def test_a_network_cut_anywhere_loses_nothing(worked: Path, address: Address, office: Connection) -> None:
    """A connection dropped at its start, in a batch or between two is told in a line and gone on with."""
    for sent_bytes in (40, 1_500, 4_000, 9_000, 2_500):  # each goes on where the one before was cut
        with (
            cut_after(address, sent_bytes) as cut,
            LedgerReader.open(worked) as reader,
            pytest.raises(OfficeError, match="cannot be reached") as told,
            connected(cut) as lost,
        ):
            gather(reader, lost, NORTH, batch_rows=10)
        assert "\n" not in str(told.value)

    assert finished(worked, office)


def test_a_gatherer_that_is_killed_leaves_nothing_half(
    worked: Path, address: Address, office: Connection
) -> None:
    """Killed at its first row or in the middle of a batch, it leaves whole batches and no lock."""
    for at in (1, 25):
        done = subprocess.run(
            [sys.executable, "-c", KILLED, str(worked), address.conninfo, str(at)],
            env={**os.environ, "PYTHONPATH": os.getcwd()}, capture_output=True,
        )  # fmt: skip
        assert done.returncode == -signal.SIGKILL, done.stderr
    rows = office.execute("SELECT count(*) FROM baywright.ledger_row").fetchone()

    assert rows == (20,)
    assert finished(worked, office)


def test_the_ledger_is_written_while_the_office_is_away(
    worked: Path, ledger: Ledger, address: Address
) -> None:
    """A gather that fails holds no lock on the store: the sorter's next piece is written all the same."""
    with LedgerReader.open(worked) as reader, cut_after(address, 1_500) as cut:
        with pytest.raises(OfficeError), connected(cut) as lost:
            gather(reader, lost, NORTH, batch_rows=10)
        row = ledger.add_piece(brass(), "Ada")

    assert row.seq == PIECES + 2
