"""How the last reading of the run was typed: its elements in their order, and its technique."""

from typing import TYPE_CHECKING

from console.desk.run_pages import newest_seq
from console.entry.editing.spelling_out import Habit, habit_of, spelled_out

if TYPE_CHECKING:
    from console.desk.desk import Desk

PIECES_BACK = 20
"""Pieces that a start looks back over for readings; our own choice."""


class ReadingHabit:
    """Follows the ledger: a restart and a take-over go on as the last reading left it."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._seq = -PIECES_BACK
        self._habit = Habit()

    def in_full(self, line: str, *, repeats_technique: bool = True) -> str:
        """Return a line as typed with what was left out in a run of readings; files name their technique."""
        desk = self._desk
        return spelled_out(
            line,
            self.now(),
            names=desk.names,
            yard=desk.yard,
            grade=desk.library.grade,
            repeats_technique=repeats_technique and not desk.readings.on_line,
        )

    def now(self) -> Habit:
        """Return the habit; only what was tallied since the last call is looked at."""
        newest = newest_seq(self._desk.ledger)
        if newest != self._seq:
            back = min(PIECES_BACK, newest - self._seq)
            self._seq = newest
            self._look(back)
        return self._habit

    def _look(self, back: int) -> None:
        """Take on how some pieces that stand were read, the newest last; without readings nothing changes."""
        desk = self._desk
        for piece in reversed(desk.review.latest(back)):
            if not piece.is_void and (found := habit_of(piece.line, names=desk.names, yard=desk.yard)):
                self._habit = found.after(self._habit)
