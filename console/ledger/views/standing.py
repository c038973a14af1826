"""What corrections do to a piece: the one place that says so, for single pieces and for sums alike."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from console.ledger.rows.rows import Row, RowKind


class Mark(NamedTuple):
    """What the sums need of a correction row; its fields are named as those of a Row."""

    kind: str
    bay: str | None
    grade_id: str | None
    mass_g: int | None
    pieces: int | None
    tag: str | None


@dataclass(slots=True)
class Standing:
    """What can change of a piece, brought up to date correction by correction."""

    bay: str
    grade_id: str | None
    mass_g: int
    pieces: int
    tag: str | None
    is_held: bool
    is_void: bool = False

    def correct(self, row: Row | Mark) -> None:
        """Bring the piece up to date with the next correction."""
        match row.kind:
            case RowKind.VOID:
                self.is_void = True
            case RowKind.UNVOID:
                self.is_void = False
            case RowKind.MOVE:
                self.bay = row.bay or self.bay
                self.is_held = row.tag is not None
                self.tag = row.tag or self.tag
                # Where a resolved hold is held again, or let go again, its name goes with it; empty for none.
                if row.grade_id is not None:
                    self.grade_id = row.grade_id or None
            case RowKind.RESOLVE:
                self.bay, self.grade_id, self.is_held = row.bay or self.bay, row.grade_id, False
            case RowKind.REWEIGH:
                self.mass_g = row.mass_g or self.mass_g
                self.pieces = row.pieces or self.pieces


def is_void(corrections: Sequence[Row | Mark]) -> bool:
    """Return whether a row stands voided after its corrections, oldest first."""
    for row in reversed(corrections):
        if row.kind in (RowKind.VOID, RowKind.UNVOID):
            return row.kind == RowKind.VOID
    return False
