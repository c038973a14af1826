"""Totals by bay come first, with their worth; grades that are not told apart stand by their class."""

from dataclasses import replace

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import PieceState
from console.reports.closing.bay_worth import worth_by_bay
from console.reports.closing.handover_report import BayLine, HandoverReport
from console.reports.closing.handover_text import as_html
from console.reports.closing.totals_text import text_of_totals
from console.reports.paperwork import office
from console.reports.paperwork.office_report import office_report
from console.reports.paperwork.office_text import as_text
from console.yard.yard import Yard
from tests.console.ledger.clock import brass
from tests.console.reports.test_handover import EVENING, report_of


@pytest.fixture
def worked(ledger: Ledger) -> Ledger:
    """Good brass at 4.20, brass in a bay that refuses it, a hold, and a void piece."""
    ledger.add_piece(brass(10_000), "Ada")
    ledger.add_piece(brass(2_000, bay="SS"), "Ada")
    ledger.add_piece(brass(500, bay="HO", tag="H001"), "Ada")
    gone = ledger.add_piece(brass(7_777), "Ada")
    ledger.void(gone.row_id, "entered twice", "Ada")
    return ledger


def with_worth(ledger: Ledger, yard: Yard) -> HandoverReport:
    """Return the handover with what the bays are worth."""
    report, worth = report_of(ledger, yard), worth_by_bay(ledger, "T1-0001", yard)
    bays = tuple(replace(bay, worth_cents=worth.get(bay.code)) for bay in report.bays)
    return replace(report, bays=bays)


def named(grade_id: str | None, *twins: str) -> PieceState:
    """Return a piece of that name, with the grades that could not be told from it."""
    return PieceState(
        row_id="1", seq=1, run_id="T1-0001", at_utc=EVENING, person="Ada", bay="YB", grade_id=grade_id,
        mass_g=1, pieces=1, line="1", tag=None, note="", sureness="", is_override=False, is_void=False,
        is_held=False, twins=twins,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("piece", "called"),
    [
        (named(None), ""),
        (named("304"), "304"),
        (named("316", "316L", "316Ti"), "316 or 316L, 316Ti"),
        (named("316L", "316", "CF3M"), "316L, 316 or cast stainless"),
        (named("304", "CF8"), "austenitic stainless or cast stainless"),
        (named("A36", "SAE 1008"), "carbon steel"),
        (named("A36", "SAE 1008", "S235JR"), "carbon steel or structural steel"),
        (named("Yard blend 7", "S235JR"), "Yard blend 7 or S235JR"),
    ],
)
def test_grades_not_told_apart_stand_by_their_class(piece: PieceState, called: str) -> None:
    """One grade and its kinds keep their names, others are called by their class, or as they are."""
    assert piece.class_label == called


def test_a_hold_is_called_by_its_class(ledger: Ledger, yard: Yard) -> None:
    """The handover names what waits by the class, not by a list of candidates."""
    entry = replace(brass(900, bay="HO", tag="T1-H1"), grade_id="A529 Grade 50", twins=("S235JR",))
    ledger.add_piece(entry, "Ada")

    assert report_of(ledger, yard).holds[0].likeliest == "structural steel"
    assert office_report(ledger, yard, EVENING).lines[0].grade == "structural steel"


def test_worth_is_that_of_what_stands(worked: Ledger, yard: Yard) -> None:
    """Each piece at its bay's price, refused metal at the downgrade price; void ones, holds not at all."""
    assert worth_by_bay(worked, "T1-0001", yard) == {"YB": 4200, "SS": 40}
    assert worth_by_bay(worked, "T1-0001", replace(yard, show_money=False)) == {}


def test_totals_have_pieces_weight_and_worth(worked: Ledger, yard: Yard) -> None:
    """The page adds up: three bays, the total, what waits, the tickets."""
    page = text_of_totals(with_worth(worked, yard), 80)

    rows = [line.split() for line in page.splitlines()]
    assert ["BAYS", "pieces", "weight", "share", "worth", "EUR"] in rows
    assert ["SS", "stainless", "18-8", "1", "2.00", "kg", "16.0%", "0.40"] in rows
    assert ["HO", "hold", "shelf", "1", "0.50", "kg", "4.0%"] in rows
    assert ["total", "3", "12.50", "kg", "42.40"] in rows
    assert "On hold: 1 piece." in page
    assert "42.40" in as_html(with_worth(worked, yard))


def test_where_money_is_hidden_there_is_no_worth(worked: Ledger, yard: Yard) -> None:
    """No column of worth, no currency."""
    hidden = replace(yard, show_money=False)
    report = with_worth(worked, hidden)

    for text in (text_of_totals(report, 80), as_html(report), _office_table(worked, hidden)):
        assert "worth" not in text and "EUR" not in text and "42.40" not in text


def test_many_bays_stand_two_in_a_row(worked: Ledger, yard: Yard) -> None:
    """Thirty bays fit a page of 22 rows and 80 columns, every one of them with its figures."""
    report = with_worth(worked, yard)
    bays = tuple(
        BayLine(
            code=f"B{n:02}", name="", pieces=n, mass_g=99_000_000 + n, share=0.1, worth_cents=9_999_900 + n,
            is_hold=False, bale_g=None,
        )
        for n in range(30)
    )  # fmt: skip
    report = replace(report, bays=bays, sums=replace(report.sums, mass_g=2_970_000_435))
    lines = text_of_totals(report, 80).splitlines()

    assert len(lines) <= 22 and max(map(len, lines)) <= 80
    for bay in bays:
        assert any(bay.code in line and f"{bay.worth_cents / 100:.2f}" in line for line in lines)  # type: ignore[operator]


def test_the_office_has_the_bays_before_the_detail(worked: Ledger, yard: Yard) -> None:
    """The sums of the bays stand first, in the table, on the page and in JSON."""
    report = office_report(worked, yard, EVENING)
    table = _office_table(worked, yard)

    assert [(one.bay, one.pieces, one.mass_g, one.value) for one in report.bays] == [
        ("YB", 1, 10_000, 42.0),
        ("SS", 1, 2_000, 0.4),
        ("HO", 1, 500, None),
    ]
    assert table.index("BAYS") < table.index("BY BAY AND GRADE")
    assert [line.split() for line in table.splitlines()].count(["total", "3", "12.50", "kg", "42.40"]) == 2
    assert office.as_html(report).index("<h2>Bays") < office.as_html(report).index("<h2>By bay and grade")
    assert office.as_json(report)["bays"][1] == {"bay": "SS", "pieces": 1, "net_kg": 2.0, "value": 0.4}


def _office_table(ledger: Ledger, yard: Yard) -> str:
    return as_text(office_report(ledger, yard, EVENING), 80, has_money=yard.show_money)
