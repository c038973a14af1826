"""The office's report: sums, values and downgrades agree with the pieces, as CSV, JSON and HTML."""

import csv
import io
import json
from dataclasses import replace
from datetime import timedelta
from importlib import import_module
from importlib.util import find_spec

import pytest

from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import PieceEntry
from console.reports.paperwork.office import CSV_COLUMNS, as_csv, as_html, as_json
from console.reports.paperwork.office_report import OfficeScope, office_report
from console.yard.yard import Yard
from tests.console.ledger.clock import START, brass
from tests.console.reports.test_handover_html import HOSTILE, Page

NOW = START + timedelta(hours=9)
SHOT = {
    "technique": "xrf",
    "ground": True,
    "wt_pct": {"Zn": 35.5, "Cu": 61.25},
    "below_wt_pct": {"Pb": 0.02},
}


def read(mass_g: int, **changes: object) -> PieceEntry:
    """Return a piece with one reading behind it."""
    return replace(brass(mass_g), evidence={"facts": {"shots": [SHOT]}}, **changes)  # type: ignore[arg-type]


@pytest.fixture
def worked(ledger: Ledger) -> Ledger:
    """A run with a good piece, a downgraded one, one on hold, a void one and a draw-down."""
    ledger.add_piece(read(10_000, supplier="Holt", load="L1"), "Ada")
    ledger.add_piece(replace(brass(2_000, bay="SS"), supplier="Holt", load="L2"), "Ben")
    ledger.add_piece(replace(brass(500, bay="HO", tag="H001"), grade_id=None), "Ada")
    gone = ledger.add_piece(brass(7_777), "Ada")
    ledger.void(gone.row_id, "entered twice", "Ada")
    ledger.draw_down("YB", 4_000, "Ada")
    return ledger


def test_lines_have_weight_share_value_and_downgrade(worked: Ledger, yard: Yard) -> None:
    """Good metal at the bay's price, refused metal at the downgrade price, what is on hold at none."""
    report = office_report(worked, yard, NOW)

    assert [(line.bay, line.grade, line.mass_g, line.value, line.is_downgrade) for line in report.lines] == [
        ("YB", "C36000", 10_000, 42.0, False),
        ("SS", "C36000", 2_000, 0.4, True),
        ("HO", "", 500, None, False),
    ]
    assert [line.share for line in report.lines] == [0.8, 0.16, 0.04]
    assert (report.mass_g, report.value, report.downgrade_g, report.hold_g) == (12_500, 42.4, 2_000, 500)
    assert [line.read_entries for line in report.lines] == [1, 0, 0]


def test_stock_is_part_of_a_report_over_dates_only(worked: Ledger, yard: Yard) -> None:
    """A report over dates has the stock of every bay; one on a supplier has none."""
    (brass_stock, *_) = office_report(worked, yard, NOW).stock

    assert (brass_stock.in_g, brass_stock.moved_g, brass_stock.out_g) == (17_777, -7_777, 4_000)
    assert brass_stock.closing_g == 6_000
    assert office_report(worked, yard, NOW, OfficeScope(supplier="Holt")).stock == ()


@pytest.mark.parametrize(
    ("scope", "mass_g"),
    [
        (OfficeScope(supplier="holt"), 12_000),
        (OfficeScope(supplier="Holt", load="L2"), 2_000),
        (OfficeScope(run_id="T1-0001"), 12_500),
        (OfficeScope(run_id="T1-0009"), 0),
        (OfficeScope(end=START), 0),
        (OfficeScope(start=START, end=NOW), 12_500),
    ],
)
def test_scope_picks_the_pieces(worked: Ledger, yard: Yard, scope: OfficeScope, mass_g: int) -> None:
    """Run, supplier, load and dates each narrow the report down."""
    assert office_report(worked, yard, NOW, scope).mass_g == mass_g


def test_csv_reads_back_with_the_csv_module(worked: Ledger, yard: Yard) -> None:
    """One row per piece, with price, value, state and readings; a void one adds nothing to any sum."""
    report = office_report(worked, yard, NOW)

    rows = list(csv.DictReader(io.StringIO(as_csv(report), newline="")))

    assert tuple(rows[0]) == CSV_COLUMNS
    assert [
        (row["bay"], row["kg"], row["void_kg"], row["pieces"], row["value"], row["state"]) for row in rows
    ] == [
        ("YB", "10.000", "", "1", "42.00", "tallied"),
        ("SS", "2.000", "", "1", "0.40", "downgrade"),
        ("HO", "0.500", "", "1", "", "on hold H001"),
        ("YB", "", "7.777", "", "", "void"),
    ]
    assert sum(float(row["kg"] or 0) for row in rows) == report.mass_g / 1000
    assert rows[0]["readings"] == "xrf, ground: Cu 61.25, Zn 35.5, Pb <0.02"
    assert rows[3]["corrections"] == "voided: entered twice (Ada)"
    if find_spec("pandas") is not None:
        frame = import_module("pandas").read_csv(io.StringIO(as_csv(report)))
        assert frame["kg"].sum() == 12.5 and list(frame.columns) == list(CSV_COLUMNS)


@pytest.mark.parametrize("text", ["=1+1", "+A1", "-2+3", "@SUM(A1)", "  =1+1", "\t=1", '=HYPERLINK("x")'])
def test_no_cell_is_a_formula(ledger: Ledger, yard: Yard, text: str) -> None:
    """Typed text that a spreadsheet would reckon with stands behind an apostrophe."""
    ledger.add_piece(replace(brass(), line=text, note=text, supplier=text, grade_id=text), "Ada")

    (row,) = csv.DictReader(io.StringIO(as_csv(office_report(ledger, yard, NOW)), newline=""))

    for column in ("line", "note", "supplier", "grade"):
        assert row[column].startswith("'")


def test_json_is_json_and_agrees_with_the_report(worked: Ledger, yard: Yard) -> None:
    """The JSON goes through a parser and its lines add up to its totals."""
    found = json.loads(
        json.dumps(as_json(office_report(worked, yard, NOW, OfficeScope(start=START, end=NOW))))
    )

    assert found["net_kg"] == sum(line["net_kg"] for line in found["lines"]) == 12.5
    assert found["from"] == "2031-05-02T06:00:00.000Z"
    assert [piece["state"] for piece in found["pieces"]] == ["tallied", "downgrade", "on hold H001", "void"]
    assert sum(piece["net_kg"] or 0 for piece in found["pieces"]) == found["net_kg"]
    assert sum(piece["value"] or 0 for piece in found["pieces"]) == pytest.approx(found["value"])
    assert [piece["void_kg"] for piece in found["pieces"]] == [None, None, None, 7.777]
    assert found["pieces"][3]["pieces"] is None
    assert [piece["supplier"] for piece in found["pieces"]] == ["Holt", "Holt", None, None]
    for one in found["stock"]:
        assert one["closing_kg"] == pytest.approx(
            one["opening_kg"] + one["in_kg"] + one["moved_kg"] - one["out_kg"]
        )


def test_page_shows_lines_stock_and_readings(worked: Ledger, yard: Yard) -> None:
    """The page holds sums, stock, pieces and what was read, and needs nothing else."""
    page = Page(as_html(office_report(worked, yard, NOW)))

    assert "YB yellow brass C36000 1 10.00 kg 80.0 % 42.00 1 of 1" in page.text
    assert "C36000 downgrade" in page.text
    assert "YB 0.00 kg 17.777 kg -7.777 kg 4.00 kg 6.00 kg" in page.text
    assert "xrf, ground: Cu 61.25, Zn 35.5, Pb <0.02" in page.text
    assert "YB C36000 7.777 kg void" in page.text
    assert page.open_tags == []


def test_typed_text_stays_text_on_the_page(ledger: Ledger, yard: Yard) -> None:
    """Markup in what was typed is shown, never obeyed."""
    entry = replace(brass(bay=HOSTILE), line=HOSTILE, note=HOSTILE, supplier=HOSTILE, grade_id=HOSTILE)
    row = ledger.add_piece(entry, HOSTILE)
    ledger.move(row.row_id, "YB", HOSTILE, HOSTILE)
    scope = OfficeScope(supplier=HOSTILE)

    page = Page(as_html(office_report(ledger, yard, NOW, scope)))

    assert not {"script", "img"} & set(page.tags)
    assert "<script>alert(1)</script>" in page.text


def test_resolved_piece_shows_both_readings(ledger: Ledger, yard: Yard) -> None:
    """What was read when a piece on hold was resolved follows what was read at first."""
    held = ledger.add_piece(read(900, bay="HO", tag="H001"), "Ada")
    later = {"facts": {"shots": [{"technique": "lab", "wt_pct": {"Cu": 85.0}}]}}
    ledger.resolve(held.row_id, "RB", "laboratory", "Ben", grade_id=None, evidence=later)

    (piece,) = office_report(ledger, yard, NOW).pieces

    assert piece.readings == ("xrf, ground: Cu 61.25, Zn 35.5, Pb <0.02", "lab: Cu 85")


def test_a_resolved_piece_lists_each_shot_once(ledger: Ledger, yard: Yard) -> None:
    """The row that resolves a hold keeps the first shot again; two alike in one entry are two shots."""
    held = ledger.add_piece(
        replace(brass(900, bay="HO", tag="H001"), evidence={"facts": {"shots": [SHOT, SHOT]}}), "Ada"
    )
    lab = {"technique": "lab", "wt_pct": {"Cu": 85.0}}
    later = {"facts": {"shots": [SHOT, SHOT, lab]}}
    ledger.resolve(held.row_id, "RB", "laboratory", "Ben", grade_id=None, evidence=later)

    (piece,) = office_report(ledger, yard, NOW).pieces

    assert piece.readings == (*["xrf, ground: Cu 61.25, Zn 35.5, Pb <0.02"] * 2, "lab: Cu 85")
