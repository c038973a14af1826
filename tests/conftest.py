"""What several tests start from: the demo yard copied to a folder of its own, and a clock that stands."""

import os
import shutil
import sys
from collections.abc import Callable, Generator, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

DEMO_YARD = Path(__file__).resolve().parent.parent / "demo_yard"
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def pytest_configure(config: pytest.Config) -> None:
    """Keep bytecode for the programs that tests start, where Python is told to write none beside the code."""
    if os.environ.pop("PYTHONDONTWRITEBYTECODE", None) and config.cache is not None:
        os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix = str(config.cache.mkdir("bytecode"))
        sys.dont_write_bytecode = False


@pytest.hookimpl(wrapper=True)
def pytest_collect_file() -> Generator[None, list[pytest.Collector], list[pytest.Collector]]:
    """Look for examples in docstrings of the program alone: tests have none, and a look costs seconds."""
    found = yield
    return [one for one in found if type(one).__name__ != "DoctestModule"]


@pytest.fixture
def yard_folder(tmp_path: Path) -> Path:
    """Return a folder with the demo yard's yard.toml, no readings and no store yet."""
    folder = tmp_path / "yard"
    (folder / "readings").mkdir(parents=True)
    shutil.copy(DEMO_YARD / "yard.toml", folder)
    return folder


@pytest.fixture
def clock() -> Callable[[], datetime]:
    """Return a clock that moves on by one second at every look."""

    def ticks() -> Iterator[datetime]:
        at = NOON
        while True:
            yield at
            at += timedelta(seconds=1)

    running = ticks()
    return lambda: next(running)


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep caches and settings of the person who runs the tests out of them."""
    base = tmp_path_factory.getbasetemp() / "user"
    monkeypatch.setenv("XDG_CACHE_HOME", str(base / "cache"))
    monkeypatch.setenv("XDG_STATE_HOME", str(base / "state"))
    monkeypatch.delenv("BAYWRIGHT_YARD", raising=False)
