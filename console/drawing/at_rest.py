"""What a pane shows while there is nothing to explain: what was tallied, what waits, what was noted."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content

from console.drawing.piece_rows import held_row, piece_row

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState

NONE_YET = "No piece is tallied yet in this run."
NOTHING_HELD = "Nothing is on hold."
NO_NOTES = "No note is left for the next shift."
MORE_HELD = "and {count} more"
LAST, HELD, NOTES = " last pieces ", " on hold ", " notes "


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRest:
    """Pieces, or notes, under a title."""

    title: str
    none: str
    """Said where there is nothing to list."""
    unit: str
    """In which weights are written."""
    pieces: tuple["PieceState", ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to list."""
        return not (self.pieces or self.notes)

    def lines(self, width: int, height: int) -> list[Content]:
        """Return one row a piece, or the notes, the newest first, as many as there is room for."""
        if self.is_empty:
            return Content.styled(self.none, "$quiet").wrap(width)[:height]
        if self.title == HELD and 0 < height < len(self.pieces):
            # Who reads a list of what waits must know that it is not all of it.
            more = Content.styled(MORE_HELD.format(count=len(self.pieces) - height + 1), "$quiet")
            return [*(held_row(piece, width, self.unit) for piece in self.pieces[: height - 1]), more]
        row = held_row if self.title == HELD else piece_row
        rows = [row(piece, width, self.unit) for piece in self.pieces[:height]]
        for note in self.notes[::-1]:
            rows += Content.assemble(("- ", "$quiet"), note).wrap(width)
        return rows[:height]


def shown_at_rest(
    last: tuple["PieceState", ...] | None,
    held: tuple["PieceState", ...],
    notes: tuple[str, ...],
    unit: str,
) -> list[AtRest]:
    """Return what is worth a pane, in order; what there is nothing of comes last.

    Args:
        last: The pieces tallied last, newest first; None where they are in sight already.
        held: Pieces on hold, oldest first.
        notes: For the next shift, oldest first.
        unit: In which weights are written.
    """
    kinds = [] if last is None else [AtRest(title=LAST, none=NONE_YET, unit=unit, pieces=last)]
    kinds += [
        AtRest(title=HELD, none=NOTHING_HELD, unit=unit, pieces=held[::-1]),
        AtRest(title=NOTES, none=NO_NOTES, unit=unit, notes=notes),
    ]
    return sorted(kinds, key=lambda one: one.is_empty)
