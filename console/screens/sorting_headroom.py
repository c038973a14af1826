"""Watches the headroom of the bay that the piece at hand goes to."""

from typing import TYPE_CHECKING

from textual import work

from console.panes.entry_pane import EntryPane
from console.screens.sorting_questions import SortingQuestions

if TYPE_CHECKING:
    from console.desk import Consideration


class SortingHeadroom(SortingQuestions):
    """Warns before Enter; what lies in the bays is read in a thread."""

    def warn_of_headroom(self, considered: "Consideration") -> None:
        """Show what the piece would do to the bay that it goes to."""
        warning = ""
        if self.bench is not None and not considered.parsed.is_blank:
            code = self.bench.bay_at_hand(considered)
            bay = next((bay for bay in self.bench.desk.yard.bays if bay.code == code), None)
            warning = self.bench.desk.bay_book.warning(considered, bay) if bay is not None else ""
        self.query_one(EntryPane).bay_warning = warning

    @work(thread=True, exclusive=True, group="bay-book")
    def read_bays(self) -> None:
        """Read what lies in the bays, unless that is known."""
        from console.ledger.errors import StoreError

        if self.bench is None:
            return
        book = self.bench.desk.bay_book
        try:
            if not book.is_ready:
                book.read()
        except StoreError:
            return  # the act that next touches the store says what is wrong with it
