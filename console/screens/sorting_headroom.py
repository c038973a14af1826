"""Watches the headroom of the bay that the piece at hand goes to."""

from typing import TYPE_CHECKING

from textual import work

from console.panes.bays_pane import BaysPane
from console.panes.entry_pane import EntryPane
from console.screens.sorting_questions import SortingQuestions

if TYPE_CHECKING:
    from collections.abc import Mapping

    from console.desk import Consideration
    from console.desk.bay_book import BayBook, BayStanding


class SortingHeadroom(SortingQuestions):
    """Warns before Enter; what lies in the bays is read in a thread."""

    def __init__(self) -> None:
        super().__init__()
        self._bays_asked = 0

    def warn_of_headroom(self, considered: "Consideration") -> None:
        """Show what the piece would do to the bay that it goes to."""
        warning = ""
        if self.bench is not None and not considered.parsed.is_blank:
            code = self.bench.bay_at_hand(considered)
            bay = next((bay for bay in self.bench.desk.yard.bays if bay.code == code), None)
            warning = self.bench.desk.bay_book.warning(considered, bay) if bay is not None else ""
        self.query_one(EntryPane).bay_warning = warning

    def read_bays(self) -> None:
        """Look in a thread what lies in the bays; the bay tally follows."""
        if self.bench is not None:
            self._bays_asked += 1
            self._read_bays(self.bench.desk.bay_book, self._bays_asked)

    @work(thread=True, exclusive=True, group="bay-book")
    def _read_bays(self, book: "BayBook", number: int) -> None:
        from console.ledger.rows.errors import StoreError

        try:
            standing = book.standing()
        except StoreError:
            return  # the act that next touches the store says what is wrong with it
        self.app.call_from_thread(self._show_bays, standing, number)

    def _show_bays(self, standing: "Mapping[str, BayStanding]", number: int) -> None:
        """Show headroom and fill, unless something was tallied since they were reckoned."""
        bays = self.query_one(BaysPane)
        if number != self._bays_asked or bays.tally is None:
            return
        of_run = {total.bay: total.mass_g for total in bays.tally.bays}
        bays.earlier_g = {code: one.lying_g - of_run.get(code, 0) for code, one in standing.items()}
        bays.tightest = {code: one.tightest for code, one in standing.items() if one.tightest}
