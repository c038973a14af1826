"""The office's report as a table on the terminal: the bays first, then what lies in each."""

from collections.abc import Iterator, Sequence
from itertools import chain

from console.ground.mass import format_mass, masses_alike
from console.reports.columns import Columns, folded, joined
from console.reports.paperwork.office_report import OfficeBay, OfficeLine, OfficeReport

_COUNT, _MASS, _VALUE, _READ = 8, 14, 15, 11


def as_text(report: OfficeReport, width: int, *, has_money: bool) -> str:
    """Return the sums of the report as plain text, without the single pieces.

    Args:
        report: What it lays out.
        width: Columns that no line exceeds, at least 70.
        has_money: Whether the yard shows money on its screens.
    """
    parts = (
        [f"OFFICE REPORT  {report.yard_name}, {report.made_at:%Y-%m-%d %H:%M} {report.made_at.tzname()}", ""],
        _table("BAYS", report.bays, report, width, has_money),
        [""],
        _table("BY BAY AND GRADE", report.lines, report, width, has_money),
        [""],
        folded(_said(report), width),
        *(folded(f"Price of {one}", width) for one in report.price_corrections if has_money),
        folded(f"Ledger: {report.verified}", width),
    )
    return joined(chain.from_iterable(parts))


def _table(
    title: str, lines: Sequence[OfficeBay], report: OfficeReport, width: int, has_money: bool
) -> Iterator[str]:
    """Yield pieces, weight and value of every line, and the total."""
    row = Columns(width, (_COUNT, _MASS, _VALUE if has_money else 0, _READ)).row
    *masses, total = masses_alike([*(one.mass_g for one in lines), report.mass_g], report.unit)

    yield row(title, "pieces", "weight", f"value {report.currency}", "read")
    yield "-" * width
    for one, mass in zip(lines, masses, strict=True):
        read = f"{one.read_entries} of {one.entries}"
        yield row(_named(one), str(one.pieces), mass, _value(one.value), read)
    yield "-" * width
    yield row("total", str(sum(one.pieces for one in lines)), total, _value(report.value), "")


def _named(one: OfficeBay) -> str:
    if isinstance(one, OfficeLine):
        return f"{one.bay}  {one.grade or 'not named'}{', downgrade' if one.is_downgrade else ''}"
    return f"{one.bay}  {one.bay_name}"


def _value(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


def _said(report: OfficeReport) -> str:
    """Return what is not in the columns, in sentences."""
    downgraded, waits = (format_mass(g, report.unit) for g in (report.downgrade_g, report.hold_g))
    late = f" {report.late_corrections} corrected after close-out." if report.late_corrections else ""
    return f"Downgraded {downgraded}; on hold, not priced {waits}.{late}"
