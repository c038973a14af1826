"""What lies in the bays: opening stock, what came in, was moved and went out, closing stock."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime

from console.ledger.rows.connection import Readable, one_view
from console.ledger.rows.row_text import time_text
from console.ledger.rows.rows import RowKind
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.standing import Mark, Standing

_COLUMNS = "row_id, refers, at_utc, kind, bay, grade_id, mass_g, pieces, tag"


@dataclass(frozen=True, slots=True, kw_only=True)
class BayStock:
    """The stock of one bay over a stretch of time; opening + in + moved - out = closing."""

    bay: str
    opening_g: int
    """At the start [g]."""
    in_g: int
    """Tallied into the bay, as entered [g]."""
    moved_g: int
    """Net of moves, corrected weights and voids [g]; negative when the bay lost by them."""
    out_g: int
    """Drawn down [g]."""
    closing_g: int
    """At the end [g]; negative when more was drawn down than ever tallied, which wants an explanation."""


@dataclass(slots=True)
class _Sums:
    """Running sums of one bay."""

    opening_g: int = 0
    in_g: int = 0
    moved_g: int = 0
    out_g: int = 0


@dataclass(slots=True)
class _Book:
    """What is known while the rows are gone through."""

    pieces: dict[str, Standing] = field(default_factory=dict)
    drawn: dict[str, tuple[str, int]] = field(default_factory=dict)
    """Draw-down -> bay and mass."""


@dataclass(frozen=True, slots=True)
class _Change:
    """One change of one bay's stock."""

    bay: str
    column: str
    mass_g: int


def stock(source: Readable, start: datetime | None = None, end: datetime | None = None) -> list[BayStock]:
    """Return the stock of every bay that ever held something, in order of first use.

    A correction counts when it was made, not when the piece that it corrects was entered, so that the closing
    stock of one stretch is the opening stock of the next whatever is corrected later.

    Args:
        source: The ledger or a reader.
        start: From this time on, aware; None for the beginning, where every bay is empty.
        end: Up to but without this time, aware; None for all there is.
    """
    first = "" if start is None else time_text(start)
    sums: dict[str, _Sums] = {}
    for at, change in _changes(source, end):
        of_bay = sums.setdefault(change.bay, _Sums())
        if at < first:
            of_bay.opening_g += -change.mass_g if change.column == "out_g" else change.mass_g
        else:
            setattr(of_bay, change.column, getattr(of_bay, change.column) + change.mass_g)
    return [
        BayStock(
            bay=bay,
            opening_g=one.opening_g,
            in_g=one.in_g,
            moved_g=one.moved_g,
            out_g=one.out_g,
            closing_g=one.opening_g + one.in_g + one.moved_g - one.out_g,
        )
        for bay, one in sums.items()
    ]


def _changes(source: Readable, end: datetime | None) -> Iterator[tuple[str, _Change]]:
    """Yield every change of a bay's stock with its time, oldest first."""
    book = _Book()
    last = "~" if end is None else time_text(end)  # "~" sorts after every time
    with one_view(source), told_plainly(source.path):
        for row_id, refers, at, kind, *values in source.connection.execute(
            f"SELECT {_COLUMNS} FROM ledger WHERE at_utc < ? AND "
            "kind IN ('piece', 'void', 'unvoid', 'move', 'reweigh', 'resolve', 'draw-down') ORDER BY seq",
            (last,),
        ):
            mark = Mark(kind, *values)
            for change in _changes_of(book, row_id, refers, mark):
                yield at, change


def _changes_of(book: _Book, row_id: str, refers: str | None, mark: Mark) -> Iterator[_Change]:
    """Yield what one row changes, and bring the book up to date."""
    bay, mass_g = mark.bay or "", mark.mass_g or 0
    if mark.kind == RowKind.PIECE:
        book.pieces[row_id] = Standing(bay, mark.grade_id, mass_g, mark.pieces or 1, mark.tag, False)
        yield _Change(bay, "in_g", mass_g)
    elif mark.kind == RowKind.DRAW_DOWN:
        book.drawn[row_id] = (bay, mass_g)
        yield _Change(bay, "out_g", mass_g)
    elif refers in book.drawn:
        bay, mass_g = book.drawn[refers]
        yield _Change(bay, "out_g", -mass_g if mark.kind == RowKind.VOID else mass_g)
    elif refers in book.pieces:
        standing = book.pieces[refers]
        if not standing.is_void:
            yield _Change(standing.bay, "moved_g", -standing.mass_g)
        standing.correct(mark)
        if not standing.is_void:
            yield _Change(standing.bay, "moved_g", standing.mass_g)
