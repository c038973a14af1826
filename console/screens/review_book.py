"""The pieces of the open run as the review keeps them: read once, then only what changed."""

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from console.desk.run_pages import PAGE, changed_since, first_seq, newest_seq, page_of, pages_below
from console.ledger.rows.runs import runs
from console.ledger.views.piece_state import piece_states, waiting_pieces
from console.panes.review_order import Listed, Order, listed

if TYPE_CHECKING:
    from console.desk import Desk


class ReviewBook:
    """Rows by row id, and the order in which they are to be listed."""

    def __init__(self, desk: "Desk") -> None:
        self.rows: dict[str, Listed] = {}
        self.order = Order()
        self.run_before = ""
        """The run whose pieces were read beside those of the open one; empty until they were."""
        self.is_whole = False
        """Whether every page of the run was read."""
        self._desk = desk
        self._run_id = desk.run().run_id
        self._unit = desk.yard.weight_unit
        self._seen = 0
        """Newest row of the store that the book knows of."""

    def order_by(self, **changed: Any) -> None:
        """Change how the list is sorted or narrowed; see Order."""
        self.order = replace(self.order, **changed)

    def read_newest(self) -> None:
        """Read the newest page, and what still waits on hold from earlier runs."""
        ledger = self._desk.ledger
        self._seen = newest_seq(ledger)
        self.add([listed(piece, self._unit) for piece in page_of(ledger, self._run_id, self._seen)])
        earlier = [piece for piece in waiting_pieces(ledger) if piece.run_id != self._run_id]
        self.add([listed(piece, self._unit, is_earlier=True) for piece in earlier])
        self.is_whole = self._seen - PAGE < first_seq(ledger, self._run_id)

    def older_pages(self) -> Iterator[list[Listed]]:
        """Yield the pages below the newest, laid out; for a thread."""
        for page in pages_below(self._desk.ledger.path, self._run_id, self._seen - PAGE):
            yield [listed(piece, self._unit) for piece in page]

    def add(self, page: list[Listed]) -> None:
        """Take rows; one that is known already is newer than what a thread brings."""
        for row in page:
            self.rows.setdefault(row.piece.row_id, row)

    def read_run_before(self) -> bool:
        """Read the pieces of the run before the open one; return whether there is one."""
        if not self.run_before:
            earlier = [run.run_id for run in runs(self._desk.ledger) if run.run_id != self._run_id]
            if not earlier:
                return False
            self.run_before = earlier[-1]
            pieces = piece_states(self._desk.ledger, self.run_before)
            self.add([listed(piece, self._unit, is_earlier=True) for piece in pieces])
        return True

    def refresh(self) -> bool:
        """Take in every piece that changed since; return whether one did."""
        changed = changed_since(self._desk.ledger, self._seen)
        self._seen = newest_seq(self._desk.ledger)
        for piece in changed:
            is_earlier = piece.run_id != self._run_id
            self.rows[piece.row_id] = listed(piece, self._unit, is_earlier=is_earlier)
        return bool(changed)
