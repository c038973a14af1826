"""Prices are rows: what was tallied keeps the price of its day, whatever is written into yard.toml later."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk, DeskRefusal
from console.desk.bays.pricing import type_price
from console.desk.refusals import NeedsReason
from console.ground.dates import local
from console.ground.errors import BaywrightError
from console.reports.paperwork.office import as_html, as_json
from console.reports.paperwork.office_report import OfficeScope, office_report
from console.reports.paperwork.office_text import as_text
from console.reports.paperwork.purchase_sheet import as_html as purchase_html
from console.reports.paperwork.purchase_sheet import as_text as purchase_text
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


def typed(desk: Desk, *words: str, since: str = "", reason: str = "the buyer called") -> str:
    """Type a price of AXC; return what was said."""
    return type_price(desk, "axc", words, reason, since).sentence


def test_a_typed_price_reaches_back_in_the_open_run_alone(later: Desk) -> None:
    """Since a moment of the open run its pieces have the corrected price; the closed run keeps its value."""
    later.piece.begin_load("Holt", "L2")
    for _ in range(2):
        row = later.tally(later.consider("10 6063"), bay_code="AXC").row
    first_of_closed = later.ledger.connection.execute(
        "SELECT row_id FROM ledger WHERE kind = 'piece'"
    ).fetchone()
    later.review.move(first_of_closed[0], "ALO", "not clean")
    later.review.move(first_of_closed[0], "AXC", "clean after all")
    closed = value_of(later, "T1-0001")

    said = typed(later, "sells=3", "buys=2,5 EUR", since=local(row.at_utc).isoformat())

    assert said.startswith("AXC sells 2.005, buys 1.5, downgraded 0.95 EUR/kg; from 2026-03-02 ")
    assert said.endswith("sells 3, buys 2.5, downgraded 0.95 EUR/kg")
    assert value_of(later, "T1-0002") == 20.05 + 30.0
    assert value_of(later, "T1-0001") == closed
    later.tally(later.consider("10 6063"), bay_code="AXC")
    assert value_of(later, "T1-0002") == 20.05 + 60.0


def test_a_corrected_price_is_a_new_row_and_is_reported(later: Desk) -> None:
    """Typed, typed again: two rows stay; reports that it touches name the one that counts, others none."""
    later.piece.begin_load("Holt", "L2")
    row = later.tally(later.consider("10 6063"), bay_code="AXC").row
    typed(later, "buys=9", since=local(row.at_utc).isoformat())
    typed(later, "buys=1.6", since=local(row.at_utc).isoformat(), reason="9 was <b>typed</b> wrong")

    sheet = purchase_sheet(later.ledger, later.yard, NOON, supplier="Holt", load="L2")
    told = office_report(later.ledger, later.yard, NOON, OfficeScope(run_id="T1-0002"))
    before = office_report(later.ledger, later.yard, NOON, OfficeScope(run_id="T1-0001"))

    assert len(price_rows(later)) == 4 and '"source":"typed"' in price_rows(later)[-1]
    assert sheet.total == 16.0
    (said,) = sheet.price_corrections
    assert said.startswith(
        "AXC: sells 2.005, buys 9, downgraded 0.95 EUR/kg; corrected to sells 2.005, buys 1.6"
    )
    assert "by Ilse (row " in said and said.endswith("9 was <b>typed</b> wrong")
    assert told.price_corrections == (said,) and before.price_corrections == ()
    assert "Price of AXC: sells" in purchase_text(sheet) and "&lt;b&gt;typed" in purchase_html(sheet)
    assert "Price of AXC: sells" in as_text(told, 80, has_money=True) and "&lt;b&gt;typed" in as_html(told)
    assert as_json(told)["price_corrections"] == [said]


def test_a_typed_price_stands_until_the_file_says_another(later: Desk) -> None:
    """A start with the same yard.toml writes nothing; an edit of it counts from then on."""
    folder, now = later.yard.folder, later.now
    typed(later, "sells=3")
    later.close()
    again = Desk.open(folder, now=now)
    assert (len(price_rows(again)), again.ledger.told_at_start) == (3, ())
    again.tally(again.consider("10 6063"), bay_code="AXC")
    assert value_of(again, "T1-0002") == 30.0
    again.close()

    edit(folder, "price_per_kg = 2.005", "price_per_kg = 2.5")
    edited = Desk.open(folder, now=now)
    edited.tally(edited.consider("10 6063"), bay_code="AXC")
    assert value_of(edited, "T1-0002") == 55.0


@pytest.mark.parametrize(
    ("words", "since", "said"),
    [
        (["sells=2 USD"], "", '"sells=2 USD": prices of this yard are in EUR'),
        (["sells=two"], "", '"sells=two" is no price: type sells=1.90'),
        (["sells=1.23456"], "", "is no price"),
        (["sells=2.005"], "", "already: nothing to correct"),
        (["sells=0.5"], "", "refused metal fetches no more than accepted"),
        (["sells=3"], "tomorrow", '"tomorrow" is no day or time'),
        (["sells=3"], "2031-01-01", "is still to come"),
        (["sells=3"], "2026-03-01", "Run T1-0001 was closed 2026-03-02 .* keeps its value"),
    ],
)
def test_a_price_that_cannot_be_is_refused(later: Desk, words: list[str], since: str, said: str) -> None:
    """Another currency, no number, nothing new, a wrong time, a closed run: a sentence, and no row."""
    with pytest.raises(BaywrightError, match=said):
        typed(later, *words, since=since)
    with pytest.raises(NeedsReason, match="needs a reason"):
        typed(later, "sells=3", reason=" ")
    with pytest.raises(DeskRefusal, match="on hold and has no price"):
        type_price(later, "HLD", ["sells=3"], "why")
    assert len(price_rows(later)) == 2


def test_a_price_is_typed_by_a_command(yard_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`baywright price` writes it and says both prices; another currency is refused with status 2."""
    words = ["price", "AXC", "--reason", "call", "--yard", str(yard_folder)]
    assert main([*words, "sells=1.90"]) == 0
    assert "AXC sells 1.78, buys 1.3" in (out := capsys.readouterr().out) and "on sells 1.90, buys" in out
    assert main([*words, "sells=1.90USD"]) == 2
    assert "Work it out in EUR" in capsys.readouterr().err


def test_a_price_of_now_touches_nothing_before_it_though_the_clock_was_set_back(later: Desk) -> None:
    """What lies there keeps its price, also where its row bears a later time than the clock shows now."""
    later.tally(later.consider("10 6063"), bay_code="AXC")
    folder = later.yard.folder
    later.close()
    desk = Desk.open(folder, now=lambda: NOON)
    typed(desk, "sells=3")

    assert value_of(desk, "T1-0002") == 20.05


def test_a_price_does_not_reach_back_over_a_change_of_currency(later: Desk) -> None:
    """Where the bay was priced in another currency then, a sentence says so, and no row is written."""
    row = later.tally(later.consider("10 6063"), bay_code="AXC").row
    folder, now = later.yard.folder, later.now
    later.close()
    edit(folder, 'currency = "EUR"', 'currency = "SEK"')
    desk = Desk.open(folder, now=now)
    written = len(price_rows(desk))

    with pytest.raises(DeskRefusal, match="AXC was priced in EUR then"):
        typed(desk, "sells=30", since=local(row.at_utc).isoformat())
    assert len(price_rows(desk)) == written
