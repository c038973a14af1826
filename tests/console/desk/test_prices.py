"""Prices are rows: what was tallied keeps the price of its day, whatever is written into yard.toml later."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk
from console.reports.paperwork.office_report import OfficeScope, office_report
from console.reports.paperwork.purchase_sheet import purchase_sheet
from tests.conftest import NOON

Clock = Callable[[], datetime]
AXC = "price_per_kg = 1.78\nbuying_per_kg = 1.30\ndowngrade_per_kg = 0.90"
DEARER = "price_per_kg = 2.005\nbuying_per_kg = 1.50\ndowngrade_per_kg = 0.95"


def edit(folder: Path, was: str, becomes: str) -> None:
    """Change yard.toml by hand."""
    file = folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    assert was in text
    file.write_text(text.replace(was, becomes, 1), encoding="utf-8")


def price_rows(desk: Desk) -> list[str]:
    """Return the bodies of the price rows as they lie on disk, oldest first."""
    found = desk.ledger.connection.execute("SELECT body FROM ledger WHERE kind = 'price' ORDER BY seq")
    return [body for (body,) in found]


@pytest.fixture
def later(yard_folder: Path, clock: Clock) -> Desk:
    """A desk on its second run: 10.1 kg at the old prices in a closed one, yard.toml changed since."""
    desk = Desk.open(yard_folder, now=clock)
    desk.piece.begin_load("Holt", "L1")
    desk.tally(desk.consider("10.1 6063"), bay_code="AXC")
    desk.ledger.close_run(desk.person)
    desk.close()
    edit(yard_folder, AXC, DEARER)
    return Desk.open(yard_folder, now=clock)


def value_of(desk: Desk, run_id: str) -> float:
    """Return what the office's report says a run is worth."""
    return office_report(desk.ledger, desk.yard, NOON, OfficeScope(run_id=run_id)).value


def test_a_closed_run_keeps_its_value(later: Desk) -> None:
    """10.1 kg at 1.78 stay 17.98 after the price became 2.005; what comes now is worth 20.25."""
    later.tally(later.consider("10.1 6063"), bay_code="AXC")

    assert (value_of(later, "T1-0001"), value_of(later, "T1-0002")) == (17.98, 20.25)


def test_changed_prices_are_one_row_that_is_told(later: Desk) -> None:
    """The first start writes every bay, the next only what changed, with both prices said; then none."""
    folder, now = later.yard.folder, later.now
    first, second = price_rows(later)
    (told,) = later.ledger.told_at_start
    later.close()
    again = Desk.open(folder, now=now)

    assert '"AXC":["1.78","1.3","0.9"]' in first.replace(" ", "") and '"STN"' in first
    assert '"AXC":["2.005","1.5","0.95"]' in second.replace(" ", "") and '"STN"' not in second
    assert "AXC sells 1.78, buys 1.3, downgraded 0.9 EUR/kg, now sells 2.005" in told
    assert len(price_rows(again)) == 2
    assert again.ledger.told_at_start == ()


def test_a_purchase_sheet_has_a_line_for_each_price(later: Desk) -> None:
    """A load that came over a change of price is paid at the price of each day."""
    later.piece.begin_load("Holt", "L1")
    later.tally(later.consider("2 6063"), bay_code="AXC")
    sheet = purchase_sheet(later.ledger, later.yard, NOON, supplier="Holt", load="L1")

    assert [(line.mass_g, str(line.price_per_kg), line.amount) for line in sheet.lines] == [
        (10_100, "1.3", 13.13),
        (2_000, "1.5", 3.0),
    ]
    assert sheet.total == 16.13


def test_a_moved_piece_has_the_price_of_the_day_it_was_moved(later: Desk) -> None:
    """Moved into a bay after its price changed, a piece is worth the new price."""
    row = later.tally(later.consider("10 6063"), bay_code="ALO").row
    later.review.move(row.row_id, "AXC", "clean after all")

    assert value_of(later, "T1-0002") == 20.05


def test_another_currency_is_never_added_up(later: Desk) -> None:
    """What was priced in another currency has no value in a report of this one."""
    folder, now = later.yard.folder, later.now
    later.close()
    edit(folder, 'currency = "EUR"', 'currency = "SEK"')
    desk = Desk.open(folder, now=now)
    desk.tally(desk.consider("1 6063"), bay_code="AXC")

    assert value_of(desk, "T1-0001") == 0.0
    assert value_of(desk, "T1-0002") == 2.01
