"""Whatever ends a gather in the middle: nothing is lost, nothing is there twice, the next one goes on."""

import os
import signal
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import psutil
import pytest

from console.commands.yard.trial_server import trial_server
from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, Connection, connected
from console.office.comparing import compare
from console.office.errors import OfficeError
from console.office.gathering import gather
from console.office.schema import climb
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

def killed_after(connection, chain, rows, sent, take=gathering._take):
    take(connection, chain, rows, sent)
    if at < 0 and int(rows[-1][0]) == -at:
        os.kill(os.getpid(), signal.SIGKILL)

gathering.row_hash, gathering._take = killing, killed_after
with LedgerReader.open(Path(store)) as opened, connected(Address(conninfo=conninfo)) as office:
    reader = Reader(opened)
    gathering.gather(reader, office, NORTH, batch_rows=10)
"""

STARTER = """
import sys, time
from pathlib import Path
from console.commands.yard.trial_server import trial_server
with trial_server(Path(sys.argv[1])) as server:
    print(server.get_pid(), flush=True)
    time.sleep(60)
"""


@pytest.fixture
def worked(ledger: Ledger, store: Path) -> Path:
    """A store of sixty pieces and the row that opened their run."""
    with ledger.act():
        for mass_g in range(1000, 1000 + PIECES):
            ledger.add_piece(brass(mass_g), "Ada")
    return store


def end_others(office: Connection) -> None:
    """End the sessions whose other end is gone, which the server may not have noticed yet."""
    office.execute(
        "SELECT pg_terminate_backend(pid, 5000) FROM pg_stat_activity "
        "WHERE datname = current_database() AND pid <> pg_backend_pid()"
    )


def finished(store: Path, office: Connection) -> bool:
    """Gather the rest; return whether store and office are even and each row is there once."""
    end_others(office)
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
        end_others(office)

    assert finished(worked, office)


def test_a_network_that_goes_silent_is_given_up(worked: Path, address: Address, office: Connection) -> None:
    """Where both ends still acknowledge but nothing gets through, the gather ends with a sentence."""
    for sent_bytes in (2_500, 6_000):  # in a batch each time, the second time after one that came through
        with (
            cut_after(address, sent_bytes, silent=True) as silent,
            LedgerReader.open(worked) as reader,
            pytest.raises(OfficeError, match=r"cannot be reached \(no answer for 0.3 s\)"),
            connected(silent, silent_s=0.3) as lost,
        ):
            gather(reader, lost, NORTH, batch_rows=10)
        end_others(office)

    assert finished(worked, office)


def test_a_server_that_is_killed_in_a_batch(worked: Path) -> None:
    """Every process of the server is killed by -9 while rows come; started again it holds whole batches."""
    with TemporaryDirectory(dir="/tmp") as folder, trial_server(Path(folder) / "server") as server:
        address = Address(conninfo=server.get_uri())
        with connected(address) as office:
            climb(office)
        keeper = psutil.Process(server.get_pid())

        def kill() -> None:
            processes = [keeper, *keeper.children(recursive=True)]
            for process in processes:
                process.kill()
            psutil.wait_procs(processes)

        with (
            cut_after(address, 9_000, act=kill) as cut,
            LedgerReader.open(worked) as reader,
            pytest.raises(OfficeError, match="cannot be reached"),
            connected(cut) as lost,
        ):
            gather(reader, lost, NORTH, batch_rows=10)
        server.ensure_postgres_running()

        with connected(address) as office:
            (rows,) = office.execute("SELECT count(*) FROM baywright.ledger_row").fetchone() or (0,)
            assert 0 < rows < PIECES
            assert rows % 10 == 0
            assert finished(worked, office)


def test_a_server_goes_with_who_started_it() -> None:
    """A process that is killed leaves no server running and no files of one."""
    with TemporaryDirectory(dir="/tmp") as folder:
        begun = subprocess.Popen(
            [sys.executable, "-c", STARTER, str(Path(folder) / "server")],
            env={**os.environ, "PYTHONPATH": os.getcwd()}, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert begun.stdout is not None
        pid = int(begun.stdout.readline())
        server = psutil.Process(pid)
        begun.kill()
        begun.communicate()

        server.wait(60)

        assert not server.is_running()


def test_a_gatherer_that_is_killed_leaves_nothing_half(
    worked: Path, address: Address, office: Connection
) -> None:
    """Killed at its first row, in a batch or right after one, it leaves whole batches and no lock."""
    for at in (1, 25, -30, 15):  # rows hashed before the kill, or the last one of a batch taken
        done = subprocess.run(
            [sys.executable, "-c", KILLED, str(worked), address.conninfo, str(at)],
            env={**os.environ, "PYTHONPATH": os.getcwd()}, capture_output=True,
        )  # fmt: skip
        assert done.returncode == -signal.SIGKILL, done.stderr
        end_others(office)
    rows = office.execute("SELECT count(*) FROM baywright.ledger_row").fetchone()

    assert rows is not None
    assert rows[0] % 10 == 0
    assert 30 <= rows[0] < PIECES
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
