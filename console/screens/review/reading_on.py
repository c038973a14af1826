"""Reads the older pages of a run behind the list that is shown already."""

from typing import TYPE_CHECKING

from textual.worker import get_current_worker

from console.drawing.review_order import Listed

if TYPE_CHECKING:
    from console.screens.review.review_screen import ReviewScreen


class ReadingOn:
    """Page by page in a thread; the border tells how far it is, and the list is whole at the end."""

    def __init__(self, screen: "ReviewScreen") -> None:
        self._screen = screen

    def start(self) -> None:
        """Begin below the newest page."""
        self._screen.run_worker(self._read, thread=True, exclusive=True, group="review")

    def _read(self) -> None:
        worker, app = get_current_worker(), self._screen.app
        for page in self._screen.book.older_pages():
            if worker.is_cancelled:
                return
            app.call_from_thread(self._take, page)
        app.call_from_thread(self._end)

    def _take(self, page: list[Listed]) -> None:
        self._screen.book.add(page)
        self._screen.show_sums()

    def _end(self) -> None:
        self._screen.book.is_whole = True
        self._screen.show_rows()
