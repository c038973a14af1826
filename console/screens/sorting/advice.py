"""Follows the piece at hand with the next check, worked out in a thread once the keys rest."""

from functools import partial
from typing import TYPE_CHECKING

from textual.timer import Timer

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.screens.sorting.sorting_screen import SortingScreen

PAUSE_S = 0.25
"""Nobody reads advice while typing: it is asked for once the keys rest so long [s]; our own choice."""


class Advice:
    """Advice never holds up a key: what comes too late is dropped."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._timer: Timer | None = None
        self._asked = 0

    def follow(self, considered: "Consideration") -> None:
        """Take the check of the piece before off the screen; ask for the next one when the keys rest."""
        self._screen.panes.placement.advice = ""
        self._asked += 1
        if self._timer is not None:
            self._timer.stop()
        if self._screen.desk.piece.wants_advice(considered):
            self._timer = self._screen.set_timer(PAUSE_S, partial(self._ask, considered, self._asked))

    def _ask(self, considered: "Consideration", number: int) -> None:
        advice = self._screen.desk.piece.advice

        def work() -> None:
            if number == self._asked:
                self._screen.app.call_from_thread(self._show, advice(considered), number)

        self._screen.run_worker(work, thread=True, exclusive=True, group="advice")

    def _show(self, line: str, number: int) -> None:
        """Show the check in the row that the placement keeps for it: nothing moves when it comes."""
        if number == self._asked:
            self._screen.panes.placement.advice = line
