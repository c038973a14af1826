"""The sheet that goes with a bale, box or load: weight, pieces, estimated composition, tag."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from console.ground.cleaning import clean
from console.ground.figures import with_sigma
from console.ground.mass import format_mass
from console.ledger.rows.rows import Row
from console.reports.chemistry_text import limit_line
from console.reports.columns import Columns, dated, folded, joined, left, right
from console.reports.page import page
from console.yard.chemistry.bale import Bale, bale_from
from console.yard.yard import Yard

HASH_SHOWN = 16
"""Hex digits of the row's hash on the sheet: enough to find the row, and to see that it is the same."""
ESTIMATE_NOTE = (
    "Estimated from the pieces tallied into the bay: what each can be, the limits of its grade and its "
    "readings. ± is one standard uncertainty. This is no analysis of the bale; melt loss, dross and attached "
    "metal are not in it."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BaleSheet:
    """Everything that stands on the sheet; text that people typed is cleaned."""

    bale: Bale
    yard_name: str
    unit: str
    person: str
    at: datetime
    """When it was taken, aware."""
    reason: str
    run_id: str
    row_hash: str


def bale_sheet(row: Row, yard: Yard, at: datetime) -> BaleSheet | None:
    """Return the sheet of a draw-down.

    Args:
        row: The draw-down's row in the ledger.
        yard: Its name and weight unit.
        at: When it was taken, in the zone to be shown.

    Returns:
        None for a draw-down that keeps no bale.
    """
    bale = bale_from(row.bay or "", row.mass_g or 0, row.body)
    if bale is None:
        return None
    return BaleSheet(
        bale=bale,
        yard_name=yard.name,
        unit=yard.weight_unit,
        person=clean(row.person),
        at=at,
        reason=clean(str(row.body.get("reason", ""))),
        run_id=row.run_id,
        row_hash=row.row_hash[:HASH_SHOWN],
    )


def bale_text(sheet: BaleSheet, width: int = 72) -> str:
    """Return the sheet as plain text, no line wider than the width, at least 60 columns."""
    return joined(_lines(sheet, width)).rstrip() + "\n"


def bale_html(sheet: BaleSheet) -> str:
    """Return the sheet as one HTML page that needs nothing else; everything on it is shown as text."""
    return page("bale.html.jinja", sheet=sheet, bale=sheet.bale, with_sigma=with_sigma, note=ESTIMATE_NOTE)


def _lines(sheet: BaleSheet, width: int) -> Iterator[str]:
    bale = sheet.bale
    yield from dated(f"BALE {bale.tag}", sheet.at, width)
    yield from folded(f"{sheet.yard_name}, bay {bale.bay_code} {bale.bay_name}, run {sheet.run_id}", width)
    yield ""
    figure = Columns(38, (16,)).row
    yield figure("weight", format_mass(bale.mass_g, sheet.unit))
    yield figure("pieces", pieces_words(bale))
    yield figure("expected refused", f"{100.0 * bale.refused_share:.1f} %")
    yield figure("left in the bay", format_mass(bale.stock_after_g, sheet.unit))
    yield from folded(f"taken by {sheet.person}" + (f": {sheet.reason}" if sheet.reason else ""), width)
    if bale.limits:
        yield ""
        yield "BUYER'S LIMITS [wt %]"
        yield from (limit_line(one) for one in bale.limits)
    yield ""
    yield "COMPOSITION [wt %]"
    if not bale.composition:
        yield "not known: nothing was tallied into the bay"
    for symbol, content in sorted(bale.composition.items(), key=lambda item: -item[1].wt_pct):
        yield f"{left(symbol, 6)}{right(with_sigma(content.wt_pct, content.sigma), 20)}"
    yield ""
    yield from folded(ESTIMATE_NOTE, width)
    yield f"ledger row {sheet.row_hash}"


def pieces_words(bale: Bale) -> str:
    """Return how many pieces a bale has, as exactly as it is known."""
    return str(bale.pieces) if bale.empties else f"about {bale.pieces}"
