"""What a run came to on one page: bay by bay, what waits, the difference against the tickets."""

from collections.abc import Iterator
from itertools import zip_longest

from console.ground.figures import many
from console.ground.mass import masses_alike
from console.reports.closing.handover_report import HandoverReport
from console.reports.closing.handover_text import bay_lines, cents_or_blank, compared
from console.reports.columns import Columns, folded, joined

MOST_NAMED = 13
"""Bays that have a row of their own, with their names; more stand two in a row, for a page of 24 rows."""
_HALF = Columns(38, (6, 14, 13))
"""Code, pieces, weight and worth of a bay; two stand side by side."""
_BETWEEN = 2


def text_of_totals(report: HandoverReport, width: int) -> str:
    """Return pieces, weight and worth of every bay as plain text, in at least 78 columns."""
    waiting = len(report.holds) + len(report.earlier_holds)
    on_hold = f"On hold: {many(waiting, 'piece', 'pieces')}." if waiting else "Nothing waits on hold."
    lines = [*_table(report, width), "", *folded(on_hold, width), *compared(report, width)]
    return joined(lines).strip("\n") + "\n"


def _table(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield the bays, one or two in a row, and the total below."""
    if len(report.bays) <= MOST_NAMED:
        yield from bay_lines(report, width)
        return
    *masses, total = masses_alike([*(bay.mass_g for bay in report.bays), report.sums.mass_g], report.unit)
    cells = [
        _HALF.row(bay.code, str(bay.pieces), mass, cents_or_blank(bay.worth_cents))
        for bay, mass in zip(report.bays, masses, strict=True)
    ]
    half = (len(cells) + 1) // 2
    worth = f"worth {report.currency}" if report.worth_cents is not None else ""
    head = _HALF.row("BAYS", "pcs", "weight", worth)
    yield head + " " * _BETWEEN + head.replace("BAYS", "    ")
    yield "-" * width
    for first, second in zip_longest(cells[:half], cells[half:], fillvalue=""):
        yield first + " " * _BETWEEN + second
    yield "-" * width
    yield _HALF.row("total", str(report.sums.pieces), total, cents_or_blank(report.worth_cents))
