"""Pieces over any dates, and their sums by bay, grade, supplier or person."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from operator import attrgetter

from console.ledger.rows.clock_steps import clocks_set
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import PieceState, Row
from console.ledger.rows.runs import of_run
from console.ledger.views.piece_state import ANY_CORRECTION, entered_in, state_of
from console.ledger.views.replay import CORRECTIONS, stand_after


class GroupBy(StrEnum):
    """What sums are made by."""

    BAY = "bay"
    GRADE = "grade"
    SUPPLIER = "supplier"
    PERSON = "person"


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupTotal:
    """Sums of one bay, grade, supplier or person."""

    name: str
    """Empty for pieces that have no grade or no supplier."""
    entries: int
    pieces: int
    mass_g: int


def pieces_between(
    source: LedgerSource,
    start: datetime | None = None,
    end: datetime | None = None,
    *,
    run_id: str | None = None,
    supplier: str | None = None,
    load: str | None = None,
) -> list[PieceState]:
    """Return the pieces that were entered in a stretch of time, as they stand now, oldest first.

    In a run in which the clock was set the times are those that the order of the run comes to.

    Args:
        source: The ledger or a reader.
        start: From this time on, aware; None for the beginning.
        end: Up to but without this time, aware; None for all there is.
        run_id: Only of this run.
        supplier: Only of this supplier.
        load: Only of this load.
    """
    among = of_run(run_id) if run_id else ANY_CORRECTION
    with one_view(source):
        pieces = _rows_between(source, start, end, run_id)
        corrections = rows_where(source, f"{CORRECTIONS} AND {among.sql}", among.values)
    states = map(state_of, stand_after([*pieces, *corrections]).values())
    return [
        state
        for state in states
        if (supplier is None or state.supplier.casefold() == supplier.casefold())
        and (load is None or state.load.casefold() == load.casefold())
    ]


def _rows_between(
    source: LedgerSource, start: datetime | None, end: datetime | None, run_id: str | None
) -> list[Row]:
    """Return the rows of the pieces, with their times put right where the clock was set."""
    clocks = clocks_set(source)
    asked = entered_in(start, end, run_id)
    found = rows_where(source, f"kind = 'piece' AND {asked.sql}", asked.values)
    rows = [row for row in found if row.run_id not in clocks]
    for run, clock in clocks.items():
        if run_id in (None, run):
            for row in rows_where(source, "kind = 'piece' AND run_id = ?", (run,)):
                at = clock.corrected(row.seq, row.at_utc)
                if (start is None or at >= start) and (end is None or at < end):
                    rows.append(replace(row, at_utc=at))
    return sorted(rows, key=lambda row: row.seq)


def totals_by(
    pieces: Iterable[PieceState],
    by: GroupBy,
    *,
    called: Callable[[PieceState], str] = attrgetter("short_name"),
) -> list[GroupTotal]:
    """Return the sums of the pieces that stand, heaviest first, then by name; `called` names the grade."""
    sums: dict[str, list[int]] = {}
    for piece in pieces:
        if piece.is_void:
            continue
        one = sums.setdefault(_name(piece, by, called), [0, 0, 0])
        one[0] += 1
        one[1] += piece.pieces
        one[2] += piece.mass_g
    totals = [
        GroupTotal(name=name, entries=entries, pieces=pieces_, mass_g=mass_g)
        for name, (entries, pieces_, mass_g) in sums.items()
    ]
    return sorted(totals, key=lambda total: (-total.mass_g, total.name))


def _name(piece: PieceState, by: GroupBy, called: Callable[[PieceState], str]) -> str:
    """Return what a piece is summed under."""
    match by:
        case GroupBy.BAY:
            return piece.bay
        case GroupBy.GRADE:
            return called(piece)
        case GroupBy.SUPPLIER:
            return piece.supplier
        case GroupBy.PERSON:
            return piece.person
