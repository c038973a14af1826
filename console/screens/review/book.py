"""The pieces of the open run as the review keeps them: read once, then only what changed."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from console.drawing.review_order import Listed, Order, listed, review_sums
from console.ground.figures import many
from console.ground.mass import mass

if TYPE_CHECKING:
    from console.desk import Desk

READING_ON = "{count} pieces read, older ones follow"


class ReviewBook:
    """Rows by row id, and the order in which they are to be listed."""

    def __init__(self, desk: "Desk") -> None:
        self.rows: dict[str, Listed] = {}
        self.order = Order()
        self.run_before = ""
        """The run whose pieces were read beside those of the open one; empty until they were."""
        self.is_whole = False
        """Whether every page of the run was read."""
        self._review = desk.review
        self._pages = desk.review.pages()
        self._unit = desk.yard.weight_unit

    def order_by(self, **changed: Any) -> None:
        """Change how the list is sorted or narrowed; see Order."""
        self.order = replace(self.order, **changed)

    def read_newest(self) -> None:
        """Read the newest page, and what still waits on hold from earlier runs."""
        self.add([listed(piece, self._unit) for piece in self._pages.newest()])
        earlier = self._review.waiting_of_earlier_runs()
        self.add([listed(piece, self._unit, is_earlier=True) for piece in earlier])
        self.is_whole = self._pages.is_whole

    def older_pages(self) -> Iterator[list[Listed]]:
        """Yield the pages below the newest, laid out; for a thread."""
        for page in self._pages.older():
            yield [listed(piece, self._unit) for piece in page]

    def add(self, page: list[Listed]) -> None:
        """Take rows; one that is known already is newer than what a thread brings."""
        for row in page:
            self.rows.setdefault(row.piece.row_id, row)

    def read_run_before(self) -> bool:
        """Read the pieces of the run before the open one; return whether there is one."""
        if not self.run_before:
            self.run_before = self._review.run_before()
            pieces = self._review.pieces_of(self.run_before) if self.run_before else []
            self.add([listed(piece, self._unit, is_earlier=True) for piece in pieces])
        return bool(self.run_before)

    def sums_words(self, shown: Sequence[Listed]) -> str:
        """Return in words what the pieces of the run come to, or how far they are read.

        Args:
            shown: The rows of the list, whose sum stands before the whole where it is narrowed.
        """
        if not self.is_whole:
            return READING_ON.format(count=len(self.rows))
        sums = review_sums(list(self.rows.values()))
        entries, weight = many(sums.entries, "entry", "entries"), mass(sums.mass_g, self._unit)
        narrowed = ""
        if self.order.typed.strip():
            shown_g = sum(row.piece.mass_g for row in shown if not row.piece.is_void)
            narrowed, weight = f"{len(shown)} shown of ", f"{mass(shown_g, self._unit)} of {weight}"
        return f"{narrowed}{entries}, {weight} {self._unit}, {sums.held} on hold, {sums.void} void"

    def refresh(self) -> bool:
        """Take in every piece that changed since; return whether one did."""
        changed = self._pages.changed()
        for piece in changed:
            is_earlier = piece.run_id != self._pages.run_id
            self.rows[piece.row_id] = listed(piece, self._unit, is_earlier=is_earlier)
        return bool(changed)
