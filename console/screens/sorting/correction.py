"""Correcting the last piece: its line comes back, and Enter puts what it says now in its place."""

from typing import TYPE_CHECKING

from console.panes.said_pane import Said
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.screens.sorting.sorting_screen import SortingScreen


class Correction:
    """Is on until the line was entered or left."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._entry = screen.panes.entry
        self.is_on = False
        """The line at hand takes the place of the last piece."""

    def begin(self) -> None:
        """Take the line of the last piece back."""
        last = self._screen.desk.review.last_piece()
        if last is None:
            self._screen.say(Said(words.NOTHING_TO_CORRECT, is_refusal=True))
            return
        self.is_on = True
        self._entry.purpose = words.CORRECTING_TITLE.format(bay=last.bay)
        self._entry.line.put(last.line)
        self._screen.say(Said(words.CORRECTING))

    def stop(self) -> None:
        """Go back to new pieces."""
        if self.is_on:
            self.is_on = False
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
