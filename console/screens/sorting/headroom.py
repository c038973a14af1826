"""Watches how full the bays are and how far from their buyers' limits; read in a thread."""

from typing import TYPE_CHECKING

from console.ground.errors import BaywrightError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from console.desk.bays.bay_book import BayStanding
    from console.screens.sorting.sorting_screen import SortingScreen


class Headroom:
    """The bay tally follows the ledger a moment later; what comes too late is dropped."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._asked = 0

    def read(self) -> None:
        """Look in a thread what lies in the bays; the bay tally follows."""
        self._asked += 1
        number, book = self._asked, self._screen.desk.bays.book

        def work() -> None:
            try:
                standing = book.standing()
            except BaywrightError:
                return  # the act that next touches the store says what is wrong with it
            self._screen.app.call_from_thread(self._show, standing, number)

        self._screen.run_worker(work, thread=True, exclusive=True, group="bay-book")

    def _show(self, standing: "Mapping[str, BayStanding]", number: int) -> None:
        """Show headroom and fill, unless something was tallied since they were reckoned."""
        bays = self._screen.panes.bays
        if number != self._asked or bays.tally is None:
            return
        of_run = {total.bay: total.mass_g for total in bays.tally.bays}
        bays.earlier_g = {code: one.lying_g - of_run.get(code, 0) for code, one in standing.items()}
        bays.tightest = {code: one.tightest for code, one in standing.items() if one.tightest}
        chemistry, series = self._screen.panes.chemistry, self._screen.panes.series
        if chemistry.display:
            chemistry.bay = bays.suggested or bays.last
        chemistry.of_bays = series.of_bays = {code: one.chemistry for code, one in standing.items()}
