"""Pieces over any dates, and their sums by bay, grade, supplier or person."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.rows import PieceState
from console.ledger.rows.runs import of_run
from console.ledger.views.piece_state import ANY_CORRECTION, entered_in, standing_where, state_of


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

    Args:
        source: The ledger or a reader.
        start: From this time on, aware; None for the beginning.
        end: Up to but without this time, aware; None for all there is.
        run_id: Only of this run.
        supplier: Only of this supplier.
        load: Only of this load.
    """
    pieces = entered_in(start, end, run_id)
    states = map(state_of, standing_where(source, pieces, of_run(run_id) if run_id else ANY_CORRECTION))
    return [
        state
        for state in states
        if (supplier is None or state.supplier.casefold() == supplier.casefold())
        and (load is None or state.load.casefold() == load.casefold())
    ]


def totals_by(pieces: Iterable[PieceState], by: GroupBy) -> list[GroupTotal]:
    """Return the sums of the pieces that stand, heaviest first, then by name."""
    sums: dict[str, list[int]] = {}
    for piece in pieces:
        if piece.is_void:
            continue
        one = sums.setdefault(_name(piece, by), [0, 0, 0])
        one[0] += 1
        one[1] += piece.pieces
        one[2] += piece.mass_g
    totals = [
        GroupTotal(name=name, entries=entries, pieces=pieces_, mass_g=mass_g)
        for name, (entries, pieces_, mass_g) in sums.items()
    ]
    return sorted(totals, key=lambda total: (-total.mass_g, total.name))


def _name(piece: PieceState, by: GroupBy) -> str:
    """Return what a piece is summed under."""
    match by:
        case GroupBy.BAY:
            return piece.bay
        case GroupBy.GRADE:
            return piece.grade_id or ""
        case GroupBy.SUPPLIER:
            return piece.supplier
        case GroupBy.PERSON:
            return piece.person
