"""What lies in the bays: opening stock, what came in, was moved and went out, closing stock."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.mark import Mark, marks_where
from console.ledger.rows.row_text import time_text
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import Where
from console.ledger.rows.trouble import told_plainly
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

    first_seq: int
    """Of the first row that ever counted here."""
    opening: int = 0
    came: int = 0
    moved: int = 0
    out: int = 0

    def count(self, mass_g: int, *, is_out: bool, is_before: bool, is_entry: bool) -> None:
        """Count a weight where it belongs."""
        if is_before:
            self.opening += -mass_g if is_out else mass_g
        elif is_out:
            self.out += mass_g
        elif is_entry:
            self.came += mass_g
        else:
            self.moved += mass_g


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
    until, values = ("seq > 0", ()) if end is None else ("at_utc < ?", (time_text(end),))
    within = Where(until, values)
    undone: set[str] = set()
    with one_view(source):
        sums = _as_entered(source, start, within)
        for row, standing, was in replay(_corrected_and_corrections(source, within)):
            is_before = start is not None and row.at_utc < start
            is_entry = _is_entry(row, standing, start, undone)
            if row is standing.entered:
                continue  # SQLite has counted it
            if was is not None:
                _add(sums[was[0]], standing, -was[1], is_before, is_entry)
            if not standing.is_void:
                to = sums.get(standing.bay) or sums.setdefault(standing.bay, _Sums(row.seq))
                to.first_seq = min(to.first_seq, row.seq)
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
        for bay, one in sorted(sums.items(), key=lambda item: item[1].first_seq)
    ]


def _as_entered(source: LedgerSource, start: datetime | None, within: Where) -> dict[str, _Sums]:
    """Return the sums of every bay before any correction, added up by SQLite."""
    is_before, values = ("0", ()) if start is None else ("at_utc < ?", (time_text(start),))
    sums: dict[str, _Sums] = {}
    with told_plainly(source.path):
        for kind, bay, before, first_seq, mass_g in source.connection.execute(
            f"SELECT kind, bay, {is_before}, min(seq), coalesce(sum(mass_g), 0) FROM ledger "
            f"WHERE kind IN ('piece', 'draw-down') AND {within.sql} GROUP BY 1, 2, 3",
            (*values, *within.values),
        ):
            to = sums.setdefault(bay or "", _Sums(first_seq))
            to.first_seq = min(to.first_seq, first_seq)
            to.count(mass_g, is_out=kind == RowKind.DRAW_DOWN, is_before=bool(before), is_entry=True)
    return sums


def _corrected_and_corrections(source: LedgerSource, within: Where) -> Iterator[Mark]:
    """Yield the corrections and the rows that they correct, oldest first."""
    corrections = f"{CORRECTIONS} AND {within.sql}"
    return marks_where(
        source,
        f"WHERE {within.sql} AND ({CORRECTIONS} OR kind IN ('piece', 'draw-down') "
        f"AND row_id IN (SELECT refers FROM ledger WHERE {corrections}))",
        (*within.values, *within.values),
    )


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
    to.count(mass_g, is_out=is_out, is_before=is_before, is_entry=is_entry)
