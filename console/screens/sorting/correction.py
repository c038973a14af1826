"""Correcting a piece: its line comes back, and Enter puts what it says now in its place."""

from typing import TYPE_CHECKING

from console.panes.said_pane import Said
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState
    from console.screens.sorting.sorting_screen import SortingScreen


class Correction:
    """Is on until the line was entered or left."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._entry = screen.panes.entry
        self.row_id = ""
        """The piece whose place the line at hand takes; empty while none is corrected."""

    @property
    def is_on(self) -> bool:
        """Whether the line at hand takes the place of a piece."""
        return bool(self.row_id)

    def begin(self) -> None:
        """Take the line of the last piece back."""
        desk = self._screen.desk
        last = desk.review.last_piece()
        if last is None:
            self._screen.say(Said(words.NOTHING_TO_CORRECT, is_refusal=True))
            return
        self.take(last, words.CORRECTING_LAST.format(which=desk.piece.last_label))

    def take(self, piece: "PieceState", which: str) -> None:
        """Take the line of a piece back; what was half typed can be stepped back to.

        Args:
            piece: A piece of this run that stands.
            which: What it is called.
        """
        if self._entry.line.value:
            self._screen.entering.history.add(self._entry.line.value)
        self.row_id = piece.row_id
        self._entry.purpose = words.CORRECTING_TITLE.format(which=which)
        self._entry.line.put(piece.line)
        self._screen.say(Said(words.CORRECTING, is_prompt=True))

    def stop(self) -> None:
        """Go back to new pieces."""
        if self.is_on:
            self.row_id = ""
            self._entry.purpose = words.PIECE_TITLE

    def leave_off(self) -> None:
        """Leave everything as it is; where nothing is corrected, leave the tour, else clear the line."""
        if self.is_on:
            self.stop()
            self._entry.line.clear()
            self._screen.say(Said(words.CORRECTION_LEFT))
        elif self._screen.tour.is_on:
            self._screen.tour.leave()
        else:
            self._screen.entering.clear()
