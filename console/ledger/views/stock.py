"""What lies in the bays: opening stock, what came in, was moved and went out, closing stock."""

from dataclasses import dataclass
from datetime import datetime

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.mark import marks_where
from console.ledger.rows.row_text import time_text
from console.ledger.rows.rows import RowKind
from console.ledger.views.replay import CORRECTIONS, AnyRow, Standing, replay


@dataclass(frozen=True, slots=True, kw_only=True)
class BayStock:
    """The stock of one bay over a stretch of time; opening + in + moved - out = closing."""

    bay: str
    opening_g: int
    """At the start [g]."""
    in_g: int
    """Tallied into the bay, as entered, without what was undone in the same stretch of time [g]."""
    moved_g: int
    """Net of moves, corrected weights and voids [g]; negative when the bay lost by them."""
    out_g: int
    """Drawn down [g]."""
    closing_g: int
    """At the end [g]; negative when more was drawn down than ever tallied, which wants an explanation."""


@dataclass(slots=True)
class _Sums:
    """Running sums of one bay [g]."""

    opening: int = 0
    came: int = 0
    moved: int = 0
    out: int = 0


def stock(source: LedgerSource, start: datetime | None = None, end: datetime | None = None) -> list[BayStock]:
    """Return the stock of every bay that ever held something, in order of first use.

    An entry that was undone at the desk never came in and moved nothing, unless an earlier stretch of time
    has counted it already. Any other correction counts when it was made, not when the piece that it corrects
    was entered, so that the closing stock of one stretch is the opening stock of the next whatever is
    corrected later.

    Args:
        source: The ledger or a reader.
        start: From this time on, aware; None for the beginning, where every bay is empty.
        end: Up to but without this time, aware; None for all there is.
    """
    sums: dict[str, _Sums] = {}
    undone: set[str] = set()
    until, values = ("", ()) if end is None else ("at_utc < ? AND ", (time_text(end),))
    rows = marks_where(source, f"WHERE {until}(kind IN ('piece', 'draw-down') OR {CORRECTIONS})", values)
    with one_view(source):
        for row, standing, was in replay(rows):
            is_before = start is not None and row.at_utc < start
            is_entry = _is_entry(row, standing, start, undone)
            if was is not None:
                _add(sums[was[0]], standing, -was[1], is_before, is_entry)
            if not standing.is_void:
                to = sums.get(standing.bay) or sums.setdefault(standing.bay, _Sums())
                _add(to, standing, standing.mass_g, is_before, is_entry)
    return [
        BayStock(
            bay=bay,
            opening_g=one.opening,
            in_g=one.came,
            moved_g=one.moved,
            out_g=one.out,
            closing_g=one.opening + one.came + one.moved - one.out,
        )
        for bay, one in sums.items()
    ]


def _is_entry(row: AnyRow, standing: Standing, start: datetime | None, undone: set[str]) -> bool:
    """Tell whether a row enters something, or undoes or does again an entry of the same stretch of time.

    Args:
        row, standing: What was done to what stands.
        start: Of the stretch; None for the beginning.
        undone: row_id of the entries that are undone; brought up to date.
    """
    entered = standing.entered
    was_undone = entered.row_id in undone
    (undone.add if standing.is_taken_back else undone.discard)(entered.row_id)
    turned = standing.is_taken_back != was_undone
    return row is entered or (turned and (start is None or entered.at_utc >= start))


def _add(to: _Sums, standing: Standing, mass_g: int, is_before: bool, is_entry: bool) -> None:
    """Add what a row changed to the sum of a bay that it belongs to."""
    is_out = standing.entered.kind == RowKind.DRAW_DOWN
    if is_before:
        to.opening += -mass_g if is_out else mass_g
    elif is_out:
        to.out += mass_g
    elif is_entry:
        to.came += mass_g
    else:
        to.moved += mass_g
