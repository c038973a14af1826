"""After a failed sync of the disk nobody says "not written" or "written" unless it is so."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from console.ledger.keeping.verify import verify
from console.ledger.rows.queries import LedgerReader
from tests.console.ledger.clock import open_ledger

ROOT = Path(__file__).resolve().parents[2]
COMPILER = shutil.which("cc")
pytestmark = pytest.mark.skipif(
    COMPILER is None or sys.platform != "linux", reason="the failing disk is a small C library for Linux"
)


@pytest.fixture(scope="module")
def failing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library that lets syncs fail."""
    library = tmp_path_factory.mktemp("library") / "failing_sync.so"
    source = Path(__file__).with_name("failing_sync.c")
    assert COMPILER is not None
    subprocess.run([COMPILER, "-shared", "-fPIC", "-o", library, source, "-ldl"], check=True)
    return library


def said(failing: Path, store: Path, how: str) -> str:
    """Return what a process says that enters a piece on a failing disk."""
    flag = store.with_name("failing")
    done = subprocess.run(
        [sys.executable, "-m", "tests.faults.sync_fails", str(store), str(flag), how],
        env={**os.environ, "LD_PRELOAD": str(failing), "FAIL_SYNC": str(flag)},
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    flag.unlink(missing_ok=True)
    return str(json.loads(done.stdout))


def masses(store: Path) -> list[int]:
    with LedgerReader.open(store) as reader:
        assert verify(reader).is_whole
        return [
            mass for (mass,) in reader.connection.execute("SELECT mass_g FROM ledger WHERE kind = 'piece'")
        ]


def test_a_disk_that_fails_on_is_called_uncertain_and_the_next_start_says_which(
    failing: Path, store: Path
) -> None:
    """What no sync confirms is called uncertain; the next start says whether it is there, and that is so."""
    told = said(failing, store, "always")

    assert told.startswith("StoreUncertain")
    assert "not written;" not in told
    with open_ledger(store) as ledger:
        (answer,) = ledger.told_at_start
    assert ("is written, as row 3" in answer) == (masses(store) == [1000, 2000])
    with open_ledger(store) as ledger:
        assert ledger.told_at_start == ()


def test_a_disk_that_fails_once_is_answered_truly(failing: Path, store: Path) -> None:
    """Once the disk confirms again, the answer is the truth, and the same console goes on."""
    told = said(failing, store, "once")

    assert "Uncertain" not in told
    assert masses(store) == ([1000, 2000, 3000] if told == "written" else [1000, 3000])
