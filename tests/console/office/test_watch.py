"""The screen of all yards follows the office, and says so when it is empty or away."""

import os
import signal
from pathlib import Path

import pytest
from textual.widgets import Static

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, Connection
from console.office.gathering import gather
from console.office_watch import EMPTY, OfficeWatch
from tests.console.ledger.clock import brass
from tests.console.office.conftest import NORTH
from tests.driven.pty_session import PtySession


def shown(app: OfficeWatch, where: str) -> str:
    return str(app.query_one(where, Static).content)


async def seen(app: OfficeWatch, pilot: object, where: str, words: str) -> bool:
    """Wait for words on the screen, for so many turns at most."""
    for _ in range(400):
        if words in shown(app, where):
            return True
        await pilot.pause(0.02)  # type: ignore[attr-defined]
    return False


async def test_rows_that_come_are_shown_by_themselves(
    ledger: Ledger, store: Path, address: Address, office: Connection
) -> None:
    """An empty office says so; what is gathered then is on the screen without a key."""
    app = OfficeWatch(address)
    ledger.add_piece(brass(4321, tag="T1-H1", bay="[b]"), "Ada")
    async with app.run_test(size=(80, 24)) as pilot:
        assert await seen(app, pilot, "#picture", EMPTY)

        with LedgerReader.open(store) as reader:
            gather(reader, office, NORTH)

        assert await seen(app, pilot, "#picture", "4.321 kg")
        assert "[b]" in shown(app, "#picture")
        assert not app.query_one("#away").display


async def test_an_office_that_is_away_is_said(address: Address, office: Connection) -> None:
    """While the office does not answer the screen says since when, and keeps the last picture."""
    app = OfficeWatch(Address(conninfo="host=/nowhere dbname=b user=u"))
    async with app.run_test(size=(80, 24)) as pilot:
        assert await seen(app, pilot, "#away", "The office is away since")
        assert app.query_one("#away").display


@pytest.mark.parametrize("stops", [True, False], ids=["stopped and let go on", "a storm of going on"])
def test_the_watch_outlasts_a_stop(address: Address, office: Connection, stops: bool) -> None:
    """Stopped and let go on, once or many times in the middle of it, it paints anew and ends by its key."""
    opened = PtySession(["-m", "console.cli", "office", "--watch", "--from", address.conninfo])
    try:
        opened.wait_for(EMPTY[:12])
        if stops:
            opened.process.send_signal(signal.SIGSTOP)
            os.waitid(os.P_PID, opened.process.pid, os.WSTOPPED | os.WNOWAIT)
        for _ in range(1 if stops else 8):
            opened.process.send_signal(signal.SIGCONT)
            opened.read(0.001)
        while opened.painted.count(b"\x1b[?1049h") < 2:
            assert opened.process.poll() is None
            opened.read(0.05)
        opened.settle(1.0)
        opened.send("\x11")

        assert opened.end() == 0
        assert opened.painted.rfind(b"\x1b[?1049l") > opened.painted.rfind(b"\x1b[?1049h")
    finally:
        opened.close()
