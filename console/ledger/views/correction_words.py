"""What was done to a piece since it was entered, in words, without what was taken back at the desk."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from console.ledger.rows.rows import Row, RowKind
from console.ledger.views.standing import Standing

UNDO_REASON = "undo at the desk"
REDO_REASON = "redo at the desk"
"""Reasons by which the rows of undo and redo are known again."""
_TAKES_BACK = {
    RowKind.VOID: RowKind.UNVOID,
    RowKind.UNVOID: RowKind.VOID,
    RowKind.MOVE: RowKind.MOVE,
    RowKind.RESOLVE: RowKind.MOVE,
    RowKind.REWEIGH: RowKind.REWEIGH,
}
"""Kind of a correction -> kind of the row that undoes it."""


@dataclass(slots=True)
class Story:
    """The corrections of one piece that count, oldest first; every row stays in the ledger."""

    words: list[str] = field(default_factory=list)
    is_taken_back: bool = False
    """The sorter undid the entry itself."""
    _told: list[Row] = field(default_factory=list)
    _undone: list[tuple[Row, str]] = field(default_factory=list)

    @property
    def naming(self) -> Row | None:
        """The row that resolved the piece and was not taken back; None where its own row names it."""
        return next((row for row in reversed(self._told) if row.kind is RowKind.RESOLVE), None)

    @property
    def is_late(self) -> bool:
        """Something was corrected after the run was closed, and not taken back."""
        return any(row.body.get("after_close") for row in self._told)

    def add(self, row: Row, before: Standing) -> None:
        """Take in the next correction, given the piece before it."""
        reason = row.body.get("reason")
        if reason == UNDO_REASON and self._told and _TAKES_BACK[self._told[-1].kind] is row.kind:
            self._undone.append((self._told.pop(), self.words.pop()))
        elif reason == UNDO_REASON and row.kind is RowKind.VOID:
            self.is_taken_back = True
        elif reason == REDO_REASON and row.kind is RowKind.UNVOID and self.is_taken_back:
            self.is_taken_back = False
        elif reason == REDO_REASON and self._undone and _does_again(row, self._undone[-1][0]):
            again, words = self._undone.pop()
            self._told.append(again)
            self.words.append(words)
        else:
            self._told.append(row)
            self.words.append(_words_for(row, before))


def _does_again(row: Row, undone: Row) -> bool:
    """Tell whether a row of redo does an undone correction again; a resolved hold is moved there again."""
    return row.kind is undone.kind or (row.kind is RowKind.MOVE and undone.kind is RowKind.RESOLVE)


def story_of(piece: Row, corrections: Sequence[Row]) -> Story:
    """Return what was done to a piece, given its row and the rows that correct it, oldest first."""
    standing = standing_of(piece)
    story = Story()
    for row in corrections:
        story.add(row, standing)
        standing.correct(row)
    return story


def standing_of(piece: Row) -> Standing:
    """Return a piece as it was entered."""
    return Standing(
        bay=piece.bay or "",
        grade_id=piece.grade_id,
        mass_g=piece.mass_g or 0,
        pieces=piece.pieces or 1,
        tag=piece.tag,
        is_held=piece.tag is not None,
    )


def _words_for(row: Row, before: Standing) -> str:
    """Return what a correction did, in words, given the state before it."""
    match row.kind:
        case RowKind.VOID:
            done = "voided"
        case RowKind.UNVOID:
            done = "void taken back"
        case RowKind.MOVE:
            done = f"moved {before.bay} -> {row.bay}"
        case RowKind.RESOLVE:
            done = f"resolved {before.bay} -> {row.bay} as {row.grade_id or 'unnamed'}"
        case RowKind.REWEIGH:
            done = f"weight {_kg(before.mass_g)} -> {_kg(row.mass_g)} kg"
            if row.pieces is not None and row.pieces != before.pieces:
                done += f", count {before.pieces} -> {row.pieces}"
        case _:
            raise AssertionError(f"{row.kind} corrects nothing")
    late = ", after close-out" if row.body.get("after_close") else ""
    return f"{done}: {row.body.get('reason', '')} ({row.person}{late})"


def _kg(mass_g: int | None) -> str:
    """Return grams as kilograms with every gram shown."""
    return f"{(mass_g or 0) / 1000:.3f}"
