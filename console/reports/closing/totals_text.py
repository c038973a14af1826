"""What a run came to on one page: bay by bay, what waits, the difference against the tickets."""

from collections.abc import Iterator
from itertools import zip_longest

from console.ground.figures import many
from console.ground.mass import masses_alike
from console.reports.closing.handover_report import BayLine, HandoverReport
from console.reports.closing.handover_text import bay_lines, compared
from console.reports.columns import folded, left, right

MOST_NAMED = 13
"""Bays that have a row of their own, with their names; more stand two in a row, for a page of 24 rows."""
_CODE, _COUNT, _MASS, _WORTH, _BETWEEN = 5, 6, 14, 13, 2


def text_of_totals(report: HandoverReport, width: int) -> str:
    """Return pieces, weight and worth of every bay as plain text, in at least 78 columns."""
    waiting = len(report.holds) + len(report.earlier_holds)
    on_hold = f"On hold: {many(waiting, 'piece', 'pieces')}." if waiting else "Nothing waits on hold."
    lines = [*_table(report, width), "", *folded(on_hold, width), *compared(report, width)]
    return "\n".join(line.rstrip() for line in lines).strip("\n") + "\n"


def _table(report: HandoverReport, width: int) -> Iterator[str]:
    """Yield the bays, one or two in a row, and the total below."""
    if len(report.bays) <= MOST_NAMED:
        yield from bay_lines(report, width)
        return
    *masses, total = masses_alike([*(bay.mass_g for bay in report.bays), report.sums.mass_g], report.unit)
    cells = [_bay(bay, mass) for bay, mass in zip(report.bays, masses, strict=True)]
    half = (len(cells) + 1) // 2
    worth = f"worth {report.currency}" if report.worth_cents is not None else ""
    head = left("BAYS", _CODE) + right("pcs", _COUNT) + right("weight", _MASS) + right(worth, _WORTH)
    yield head + " " * _BETWEEN + head.replace("BAYS", "    ")
    yield "-" * width
    for first, second in zip_longest(cells[:half], cells[half:], fillvalue=""):
        yield first + " " * _BETWEEN + second
    yield "-" * width
    sums = right(str(report.sums.pieces), _COUNT) + right(total, _MASS)
    yield left("total", _CODE) + sums + _worth(report.worth_cents)


def _bay(bay: BayLine, mass: str) -> str:
    """Return what one bay came to: code, pieces, weight, worth."""
    return (
        left(bay.code, _CODE) + right(str(bay.pieces), _COUNT) + right(mass, _MASS) + _worth(bay.worth_cents)
    )


def _worth(cents: int | None) -> str:
    return right("" if cents is None else f"{cents / 100:.2f}", _WORTH)
