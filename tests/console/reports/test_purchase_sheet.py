"""The purchase sheet: what a load is paid, what is on hold apart, who sorted and what was read."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from rich.cells import cell_len

from console.ledger.keeping.store import Ledger
from console.reports.paperwork.purchase_sheet import PurchaseSheet, as_html, as_text, purchase_sheet
from console.yard.yard import Yard
from tests.console.ledger.clock import START, brass
from tests.console.reports.test_handover_html import HOSTILE, Page
from tests.console.reports.test_office import read

NOW = START + timedelta(hours=9)
PRICES = {"YB": 3.21, "SS": 0.8}


@pytest.fixture
def yard(yard: Yard) -> Yard:
    """The yard with what it pays for two of its bays."""
    bays = tuple(replace(bay, buying_per_kg=PRICES.get(bay.code)) for bay in yard.bays)
    return replace(yard, bays=bays)


@pytest.fixture
def sheet(ledger: Ledger, yard: Yard) -> PurchaseSheet:
    """The sheet of load L1: brass, a bay without a price, a piece on hold, a void one, another load."""

    def bring(mass_g: int, bay: str, person: str, tag: str | None = None, load: str = "L1") -> str:
        entry = read(mass_g, bay=bay, supplier="Holt", load=load, tag=tag)
        return ledger.add_piece(entry, person).row_id

    bring(1_000, "YB", "Ada")
    bring(2_337, "YB", "Ben")
    bring(4_000, "RB", "Ada")
    bring(500, "HO", "Ada", tag="H001")
    ledger.void(bring(9_000, "YB", "Ada"), "entered twice", "Ada")
    bring(8_000, "YB", "Ada", load="L2")
    ledger.add_piece(brass(6_000), "Ada")
    return purchase_sheet(ledger, yard, NOW, supplier="Holt", load="L1")


def test_amounts_are_weight_times_price_to_the_cent(sheet: PurchaseSheet) -> None:
    """Every bay has weight, price and amount; the total is their sum, without holds and unpriced bays."""
    assert [(line.bay, line.mass_g, line.price_per_kg, line.amount) for line in sheet.lines] == [
        ("YB", 3_337, Decimal("3.21"), 10.71),
        ("RB", 4_000, None, None),
    ]
    assert sheet.total == 10.71
    assert sheet.unpriced_g == 4_000
    assert [hold.tag for hold in sheet.holds] == ["H001"]
    assert sheet.sorters == ("Ada", "Ben")
    assert len(sheet.readings) == 4


def test_text_shows_all_of_it(sheet: PurchaseSheet) -> None:
    """The sheet on paper has supplier, load, sorters, sums, what is on hold and what was read."""
    text = as_text(sheet)

    assert "Lowfield Yard buys from: Holt\nLoad: L1\nSorted by: Ada, Ben\n" in text
    assert "to pay" + " " * 69 + "10.71" in text
    assert "without a price: 4.00 kg, not in the sum" in text
    assert "ON HOLD, NOT PRICED YET (1, 0.50 kg)" in text
    assert "xrf, ground: Cu 61.25" in text
    assert max(cell_len(line) for line in text.split("\n")) <= 80


def test_page_shows_all_of_it(sheet: PurchaseSheet) -> None:
    """The page has the same figures."""
    page = Page(as_html(sheet))

    assert "YB yellow brass 2 3.337 kg 3.21 10.71 RB red brass 1 4.000 kg no price" in page.text
    assert "to pay 10.71" in page.text
    assert "H001 0.50 kg" in page.text
    assert page.open_tags == []


def test_all_loads_of_a_supplier(ledger: Ledger, yard: Yard, sheet: PurchaseSheet) -> None:
    """Without a load, all loads of the supplier are on the sheet."""
    every = purchase_sheet(ledger, yard, NOW, supplier="holt", load=None)

    assert every.lines[0].mass_g == 11_337
    assert "Load: all loads" in as_text(every)


def test_typed_text_stays_text(ledger: Ledger, yard: Yard) -> None:
    """Markup and endless text in what was typed neither break the page nor the columns."""
    ledger.add_piece(replace(brass(bay="Q" * 50), line=HOSTILE * 5, supplier=HOSTILE, load=HOSTILE), HOSTILE)

    sheet = purchase_sheet(ledger, yard, NOW, supplier=HOSTILE, load=HOSTILE)

    assert max(cell_len(line) for line in as_text(sheet).split("\n")) <= 80
    assert "\x1b" not in as_text(sheet)
    assert not {"script", "img"} & set(Page(as_html(sheet)).tags)
