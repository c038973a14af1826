"""The screen of all yards follows the office, and says so when it is empty or away."""

from pathlib import Path

from textual.widgets import Static

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import LedgerReader
from console.office.address import Address, Connection
from console.office.gathering import gather
from console.office_watch import EMPTY, OfficeWatch
from tests.console.ledger.clock import brass
from tests.console.office.conftest import NORTH


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
