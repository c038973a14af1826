"""The office's report as CSV, JSON and HTML."""

import csv
import io
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from console.ground.cleaning import clean
from console.ledger.rows.row_text import time_text
from console.ledger.views.stock import BayStock
from console.reports.page import page
from console.reports.paperwork.office_report import OfficeLine, OfficePiece, OfficeReport

CSV_COLUMNS = (
    *("row_id", "time_utc", "run", "person", "supplier", "load", "bay", "grade", "kg", "void_kg", "pieces"),
    *("sureness", "state", "price_per_kg", "value", "line", "note", "readings", "corrections"),
)
# A spreadsheet takes a cell that begins with one of these for a formula.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def as_csv(report: OfficeReport) -> str:
    """Return one row per piece, oldest first, with a header row; numbers with a decimal point, weights in kg.

    A void piece has its weight in a column of its own, and neither pieces nor value: every sum is right.
    Text that a spreadsheet would take for a formula stands behind an apostrophe.
    """
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(CSV_COLUMNS)
    for piece in report.pieces:
        writer.writerow(_csv_row(piece))
    return file.getvalue()


def _csv_row(piece: OfficePiece) -> list[str]:
    state = piece.state
    who = (state.row_id, time_text(state.at_utc), state.run_id, state.person, state.supplier, state.load)
    weight = f"{state.mass_g / 1000:.3f}"
    figures = ("", weight, "") if state.is_void else (weight, "", str(state.pieces))
    prices = (_figure(piece.price_per_kg, 4), "" if state.is_void else _figure(piece.value, 2))
    corrected = "; ".join(one.said("kg") for one in state.corrections)
    return [
        *_cells((*who, state.bay, piece.grade)),
        *figures,
        *_cells((state.sureness, _state_word(piece))),
        *prices,
        *_cells((state.line, state.note, "; ".join(piece.readings), corrected)),
    ]


def _cells(texts: Iterable[str]) -> Iterable[str]:
    """Yield texts as cells that no spreadsheet takes for formulas."""
    for text in texts:
        cleaned = clean(text)
        yield f"'{cleaned}" if cleaned.lstrip().startswith(_FORMULA_STARTS) else cleaned


def _figure(value: Decimal | float | None, decimals: int) -> str:
    """Return a number with a decimal point, empty when there is none."""
    return "" if value is None else f"{value:.{decimals}f}"


def _state_word(piece: OfficePiece) -> str:
    state = piece.state
    words = []
    if state.is_void:
        words.append("void")
    elif state.is_held:
        words.append(f"on hold {state.tag}")
    elif piece.is_downgrade:
        words.append("downgrade")
    else:
        words.append("tallied")
    if state.is_corrected_late:
        words.append("corrected after close-out")
    return ", ".join(words)


def as_json(report: OfficeReport) -> dict[str, Any]:
    """Return the report for machines, JSON-ready; weights in kg, money rounded to cents.

    A void piece has its weight in a field of its own, and neither pieces nor value: every sum is right.
    """
    scope = report.scope
    return {
        "yard": report.yard_name,
        "currency": report.currency,
        "made_at": time_text(report.made_at),
        "run": scope.run_id,
        "supplier": scope.supplier,
        "load": scope.load,
        "from": time_text(scope.start) if scope.start else None,
        "to": time_text(scope.end) if scope.end else None,
        "net_kg": report.mass_g / 1000,
        "value": round(report.value, 2),
        "downgrade_kg": report.downgrade_g / 1000,
        "hold_kg": report.hold_g / 1000,
        "late_corrections": report.late_corrections,
        "price_corrections": list(report.price_corrections),
        "verified": report.verified,
        "bays": [
            {"bay": one.bay, "pieces": one.pieces, "net_kg": one.mass_g / 1000, "value": one.value}
            for one in report.bays
        ],
        "lines": [_line_json(line) for line in report.lines],
        "stock": [_stock_json(one) for one in report.stock],
        "pieces": [_piece_json(piece) for piece in report.pieces],
    }


def _line_json(line: OfficeLine) -> dict[str, Any]:
    return {
        "bay": line.bay,
        "grade": line.grade or None,
        "entries": line.entries,
        "pieces": line.pieces,
        "net_kg": line.mass_g / 1000,
        "share": round(line.share, 6),
        "value": None if line.value is None else round(line.value, 2),
        "is_downgrade": line.is_downgrade,
        "read_entries": line.read_entries,
    }


def _stock_json(one: BayStock) -> dict[str, Any]:
    return {
        "bay": one.bay,
        "opening_kg": one.opening_g / 1000,
        "in_kg": one.in_g / 1000,
        "moved_kg": one.moved_g / 1000,
        "out_kg": one.out_g / 1000,
        "closing_kg": one.closing_g / 1000,
    }


def _piece_json(piece: OfficePiece) -> dict[str, Any]:
    state = piece.state
    return {
        "row_id": state.row_id,
        "time_utc": time_text(state.at_utc),
        "run": state.run_id,
        "person": state.person,
        "supplier": state.supplier or None,
        "load": state.load or None,
        "bay": state.bay,
        "grade": piece.grade or None,
        "net_kg": None if state.is_void else state.mass_g / 1000,
        "void_kg": state.mass_g / 1000 if state.is_void else None,
        "pieces": None if state.is_void else state.pieces,
        "state": _state_word(piece),
        "value": None if piece.value is None or state.is_void else round(piece.value, 2),
        "line": state.line,
        "note": state.note or None,
        "readings": list(piece.readings),
        "corrections": [one.said("kg") for one in state.corrections],
    }


def as_html(report: OfficeReport) -> str:
    """Return the report as a self-contained HTML page; typed text is shown as text."""
    most_g = max((line.mass_g for line in report.lines), default=0)
    return page("office.html.jinja", report=report, most_g=most_g, state_word=_state_word)
