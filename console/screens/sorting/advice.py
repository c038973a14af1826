"""Follows the piece at hand with the next check, worked out in a thread once the keys rest."""

from typing import TYPE_CHECKING

from textual import work
from textual.timer import Timer

from console.panes.piece.placement_pane import PlacementPane
from console.screens.sorting.headroom import SortingHeadroom

if TYPE_CHECKING:
    from console.desk import Consideration

PAUSE_S = 0.25
"""Nobody reads advice while typing: it is asked for once the keys rest so long [s]; our own choice."""


class SortingAdvice(SortingHeadroom):
    """Advice never holds up a key: what comes too late is dropped."""

    def __init__(self) -> None:
        super().__init__()
        self._advice_timer: Timer | None = None
        self._advice_asked = 0

    def follow_with_advice(self, considered: "Consideration") -> None:
        """Take the check of the piece before off the screen; ask for the next one when the keys rest."""
        self.query_one(PlacementPane).advice = ""
        self._advice_asked += 1
        if self._advice_timer is not None:
            self._advice_timer.stop()
        if self.bench is None or not self.bench.desk.wants_advice(considered):
            return
        number = self._advice_asked
        self._advice_timer = self.set_timer(PAUSE_S, lambda: self.ask_for_advice(considered, number))

    @work(thread=True, exclusive=True, group="advice")
    def ask_for_advice(self, considered: "Consideration", number: int) -> None:
        """Work out the next check in a thread."""
        if self.bench is not None and number == self._advice_asked:
            line = self.bench.desk.advice(considered)
            self.app.call_from_thread(self._show_advice, line, number)

    def _show_advice(self, line: str, number: int) -> None:
        """Show the check in the row that the placement keeps for it: nothing moves when it comes."""
        if number == self._advice_asked:
            self.query_one(PlacementPane).advice = line
