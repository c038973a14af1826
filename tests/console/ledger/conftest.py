from collections.abc import Iterator
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from tests.console.ledger.clock import open_ledger


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """Where the store of the test lies."""
    return tmp_path / "yard.sqlite3"


@pytest.fixture
def ledger(store: Path) -> Iterator[Ledger]:
    """A new ledger with one open run, worked by Ada."""
    with open_ledger(store) as opened:
        opened.open_run("Ada")
        yield opened
