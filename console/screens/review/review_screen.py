"""The review: every piece of the run, sorted and narrowed at will, and what may be mended on it."""

from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from console.drawing.review_order import Listed, in_order, row_to_keep
from console.entry.load_words import load_words
from console.ground.dates import local_day_and_time
from console.ground.figures import NO_NAME
from console.ground.mass import mass
from console.panes.key_line import KeyLine
from console.panes.run.review_list import ReviewList, heads
from console.panes.said_pane import Said, SaidPane
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.keys.review import REVIEW_KEYS
from console.screens.review.book import ReviewBook
from console.screens.review.filter_box import FilterBox
from console.screens.review.mending import Mending

if TYPE_CHECKING:
    from console.desk import Desk
    from console.ledger.rows.rows import PieceState
    from console.screens.review.mending import Correct
    from console.screens.sorting.sorting_screen import SortingScreen

TITLE = "Review {order}"
NO_PIECES = "No piece is tallied yet. Esc leads back to the line, to tally one."
NONE_BEFORE = "There is no run before this one in the store."
LATE_FROM_HERE = "With run {run}: what is mended on it now counts, and every report says that it came late."
NONE_MATCH = "No piece has all of these words. Esc shows every piece again."
IN_FULL_ROWS = 4
"""Of the selected piece, below the list."""


class ReviewScreen(ConsoleScreen):
    """The list, the selected piece in full below it."""

    CSS_PATH = "review_screen.tcss"
    AUTO_FOCUS = "#pieces"
    BINDINGS = REVIEW_KEYS

    def __init__(self, desk: "Desk", correct: "Correct | None" = None) -> None:
        """Without `correct` the review was opened from elsewhere than the line, to resolve holds."""
        super().__init__()
        self._unit = desk.yard.weight_unit
        self._mending, self.book = Mending(self, desk, correct), ReviewBook(desk)
        self.book.order_by(holds_first=correct is None)
        self.rows = ReviewList(id="pieces")
        self.filter = FilterBox(lambda typed: self.order_by(typed=typed), lambda: self.set_focus(self.rows))

    def compose(self) -> ComposeResult:
        """Heads, rows, the filter, the selected piece, the last sentence, keys."""
        with Vertical(id="review-box"):
            yield Static(id="heads", markup=False)
            yield self.rows
        yield self.filter
        yield Static(id="piece-in-full", markup=False)
        yield SaidPane(id="said")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Read the newest page of the run, the rest behind it."""
        self.book.read_newest()
        self.show_rows()
        self.show_keys()
        if not self.book.is_whole:
            self.run_worker(lambda: read_on(self), thread=True, exclusive=True, group="review")

    def on_resize(self) -> None:
        """Lay the columns out for the new width."""
        self.show_heads()

    def order_by(self, **changed: Any) -> None:
        """Sort or narrow the list in another way; see Order."""
        self.book.order_by(**changed)
        self.show_rows()

    def show_heads(self) -> None:
        """Name the columns."""
        text = heads(self._unit, self.rows.size.width or self.size.width - 4, self.rows.sort_by)
        self.query_one("#heads", Static).update(Content.styled(text, "$quiet"), layout=False)

    def show_rows(self) -> None:
        """Sort and narrow the list again; the mark stays on its piece, or goes on to the next hold."""
        order, before = self.book.order, self.rows.rows
        rows = in_order(self.book.rows.values(), order)
        self.rows.sort_by = order.sort_by
        self.rows.show(rows, keep=row_to_keep(before, rows, self.rows.selected, order))
        self.query_one("#review-box").border_title = Content(TITLE.format(order=order.words))
        self.show_sums()
        self.show_heads()
        self.show_selected()

    def show_sums(self) -> None:
        """Show what the pieces come to, or how far they are read."""
        said = self.book.sums_words(self.rows.rows)
        self.query_one("#review-box").border_subtitle = Content(said)

    def show_selected(self) -> None:
        """Show the selected piece in full."""
        row = self.rows.selected_row
        if row is not None:
            text = in_full(row.piece, self._unit, max(20, self.app.size.width - 4))
        else:
            text = Content.styled(NONE_MATCH if self.book.order.typed.strip() else NO_PIECES, "$quiet")
        self.query_one("#piece-in-full", Static).update(text, layout=False)

    def acted(self, said: Said) -> None:
        """Say what an act came to, and show the pieces that it changed."""
        self.say(said)
        if self.book.refresh():
            self.show_rows()

    def action_mend(self, act: str) -> None:
        """Do something to the selected piece: a method of Mending."""
        if self.rows.selected_row is not None:
            getattr(self._mending, act)(self.rows.selected_row.piece)

    def action_filter(self) -> None:
        """Begin to type what to look for."""
        self.filter.begin()

    def action_order(self, how: str) -> None:
        """Sort by the next column, turn the order round, or put pieces on hold first; see Order.reordered."""
        self.book.order = self.book.order.reordered(how)
        self.show_rows()
        if how == "holds":
            self.action_step(-len(self.book.rows))

    def action_before(self) -> None:
        """List the pieces of the run before too, or no more."""
        if not self.book.order.has_before and not self.book.read_run_before():
            self.say(Said(NONE_BEFORE, is_refusal=True))
            return
        self.order_by(has_before=not self.book.order.has_before)
        if self.book.order.has_before:
            self.say(Said(LATE_FROM_HERE.format(run=self.book.run_before), is_prompt=True))

    def action_step(self, by: int) -> None:
        """Select another piece."""
        self.rows.step(by)
        self.show_selected()

    def action_page(self, by: int) -> None:
        """Select a piece one page further."""
        self.action_step(by * max(1, self.rows.size.height - 1))

    def action_back(self) -> None:
        """End the filter, or go back to sorting."""
        if self.filter.display:
            self.filter.end()
        else:
            self.action_leave()


def opened(desk: "Desk", sorting: "SortingScreen") -> ReviewScreen:
    """Return the screen over sorting."""
    return ReviewScreen(desk, sorting.correction.take)


def read_on(screen: ReviewScreen) -> None:
    """Read the older pages of the run behind the list that is shown already; for a thread."""
    worker, app, book = get_current_worker(), screen.app, screen.book

    def take(page: list[Listed]) -> None:
        book.add(page)
        screen.show_sums()

    for page in book.older_pages():
        if worker.is_cancelled:
            return
        app.call_from_thread(take, page)
    book.is_whole = True
    app.call_from_thread(screen.show_rows)


def in_full(piece: "PieceState", unit: str, width: int) -> Content:
    """Return everything that is kept of a piece in a few lines; a long one is wrapped while rows are free."""
    head = Content.assemble(
        (f"{mass(piece.mass_g, unit)} {unit}", "bold"),
        f"  {piece.bay}",
        (f"  tag {piece.tag}" if piece.tag else "", "bold"),
        f"  {local_day_and_time(piece.at_utc)}  {piece.person}",
        f"  {load_words(piece.supplier, piece.load)}".rstrip(),
        # Last, since it may be long and stands in the list too.
        f"  {piece.grade_label or NO_NAME}",
    )
    lines = [head, Content.assemble(("typed  ", "$quiet"), piece.line)]
    if piece.is_held and piece.waits_for and piece.waits_for not in piece.line:
        lines.append(Content.assemble(("waits  ", "$quiet"), piece.waits_for))
    if piece.note and piece.note not in piece.line:
        lines.append(Content.assemble(("note   ", "$quiet"), piece.note))
    lines += [Content.assemble(("since  ", "$quiet"), one.said(unit)) for one in piece.corrections[::-1]]
    wrapped = [row for line in lines for row in line.wrap(width)]
    return Content("\n").join(wrapped if len(wrapped) <= IN_FULL_ROWS else lines)
