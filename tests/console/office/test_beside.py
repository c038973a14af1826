"""A run that is closed is gathered beside the console, which never waits for it."""

import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from console.desk import Desk
from console.office.address import Address, Connection
from console.office.beside import COMES_AFTER, LOG
from console.yard_at_work import YardAtWork
from tests.conftest import NOON

TABLE = '\n[office]\nserver = "{}"\nat_close_out = {}\n'


def ended(
    folder: Path, server: str, monkeypatch: pytest.MonkeyPatch, at_close_out: str = "true"
) -> list[object]:
    """Close a run in a yard with an office; return the processes that were begun, each waited for here."""
    file = folder / "yard.toml"
    file.write_text(file.read_text("utf-8") + TABLE.format(server, at_close_out), encoding="utf-8")
    sorting = SimpleNamespace(wait_for_desk=lambda: None, run_sums=SimpleNamespace(forget=lambda: None))
    app = SimpleNamespace(set_timer=None, sorting=sorting)
    at_work = YardAtWork(app, folder, now=lambda: NOON, person=None)  # type: ignore[arg-type]
    at_work.desk = Desk.open(folder, now=lambda: NOON)
    begun: list[object] = []
    real = subprocess.Popen

    def begin(*words: object, **options: object) -> object:
        begun.append(real(*words, **options))  # type: ignore[call-overload]
        return begun[-1]

    monkeypatch.setattr(subprocess, "Popen", begin)
    at_work.end_run()
    monkeypatch.undo()
    return begun


def test_a_closed_run_is_gathered_beside_the_console(
    yard_folder: Path, address: Address, office: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where yard.toml names an office a process that gives way to the console brings the rows."""
    (process,) = ended(yard_folder, address.conninfo, monkeypatch)
    assert os.getpriority(os.PRIO_PROCESS, process.pid) >= COMES_AFTER  # type: ignore[attr-defined]
    assert process.wait(60) == 0, (yard_folder / LOG).read_text()  # type: ignore[attr-defined]

    assert office.execute("SELECT count(*) > 0 FROM baywright.ledger_row").fetchone() == (True,)
    assert "the office has all" in (yard_folder / LOG).read_text("utf-8")


def test_an_office_that_is_away_is_in_the_log(yard_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the office does not answer the console ends its run as ever, and the log says so in a line."""
    (process,) = ended(yard_folder, "host=/nowhere dbname=b user=u", monkeypatch)
    assert process.wait(60) == 1  # type: ignore[attr-defined]

    assert "cannot be reached" in (yard_folder / LOG).read_text("utf-8")


def test_no_process_where_no_office_is_meant(yard_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A yard that says at_close_out = false begins nothing."""
    assert ended(yard_folder, "service=x", monkeypatch, "false") == []


def test_the_console_loads_no_driver_of_the_office() -> None:
    """What the console starts with brings no database driver along, so nobody waits for its import."""
    code = "import sys, console.yard_at_work; print('psycopg' in sys.modules)"

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "False"
