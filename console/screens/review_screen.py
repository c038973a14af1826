"""The review: every piece of the run, sorted and narrowed at will, and what may be mended on it."""

from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from console.ground.dates import local_day_and_time
from console.panes.entry_line import EntryLine
from console.panes.figures import many, mass
from console.panes.key_line import KeyLine
from console.panes.review_list import ReviewList, heads
from console.panes.review_order import Listed, in_order, review_sums
from console.panes.said_pane import Said, SaidPane
from console.screens.review_acts import ReviewActs
from console.screens.review_book import ReviewBook
from console.screens.review_keys import REVIEW_KEYS

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState
    from console.screens.bench import Bench

TITLE = "Review {order}"
FILTER = "Filter: "
NO_PIECES = "No piece is tallied yet. Esc leads back to the line; the first piece will stand here."
NONE_BEFORE = "There is no run before this one in the store."
LATE_FROM_HERE = "With run {run}: what is mended on it now counts, and every report says that it came late."
NONE_MATCH = "No piece has all of these words. Esc shows every piece again."
UNNAMED = "unnamed"
READING_ON = "{count} pieces read, older ones follow"


class ReviewScreen(ReviewActs):
    """The list, the selected piece in full below it."""

    CSS_PATH = "review_screen.tcss"
    AUTO_FOCUS = "#pieces"
    BINDINGS = REVIEW_KEYS

    def __init__(self, bench: "Bench", *, holds_first: bool = False) -> None:
        super().__init__(bench)
        self.book = ReviewBook(bench.desk)
        self.book.order_by(holds_first=holds_first)

    def compose(self) -> ComposeResult:
        """Heads, rows, the filter, the selected piece, the last sentence, keys."""
        with Vertical(id="review-box") as box:
            box.border_title = "Review"
            yield Static(id="heads", markup=False)
            yield ReviewList(id="pieces")
        with Horizontal(id="filter-box"):
            yield Static(FILTER, id="filter-name", markup=False)
            yield EntryLine(id="filter")
        yield Static(id="piece-in-full", markup=False)
        yield SaidPane(id="said")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Read the newest page of the run, the rest behind it."""
        self.query_one("#filter-box").display = False
        self.watch(self.query_one("#filter", EntryLine), "value", self.narrow, init=False)
        self.book.read_newest()
        self.show_rows()
        self.show_keys()
        if not self.book.is_whole:
            self.read_on()

    def on_resize(self) -> None:
        """Lay the columns out for the new width."""
        self.show_heads()

    @work(thread=True, exclusive=True, group="review")
    def read_on(self) -> None:
        """Read the older pages in a thread, each shown as it comes."""
        worker = get_current_worker()
        for page in self.book.older_pages():
            if worker.is_cancelled:
                return
            self.app.call_from_thread(self.take_page, page)
        self.app.call_from_thread(self.all_read)

    def take_page(self, page: list[Listed]) -> None:
        """Tell how far the reading is."""
        self.book.add(page)
        self.query_one("#review-box").border_subtitle = Content(READING_ON.format(count=len(self.book.rows)))

    def all_read(self) -> None:
        """Show the whole run."""
        self.book.is_whole = True
        self.show_rows()

    @property
    def selected(self) -> Listed | None:
        """The row under the mark; None when there is none."""
        return self.query_one(ReviewList).selected_row

    def show_heads(self) -> None:
        """Name the columns."""
        rows = self.query_one(ReviewList)
        unit = self.bench.desk.yard.weight_unit
        text = heads(unit, rows.size.width or self.size.width - 4, rows.sort_by)
        self.query_one("#heads", Static).update(Content.styled(text, "$quiet"), layout=False)

    def show_rows(self) -> None:
        """Sort and narrow the list again; the mark stays on its piece."""
        rows = self.query_one(ReviewList)
        before = rows.selected_row
        order = self.book.order
        rows.sort_by = order.sort_by
        rows.show(in_order(self.book.rows.values(), order), keep=before.piece.row_id if before else None)
        box = self.query_one("#review-box")
        box.border_title = Content(TITLE.format(order=order.words))
        box.border_subtitle = Content(self._sums(len(rows.rows)))
        self.show_heads()
        self.show_selected()

    def _sums(self, shown: int) -> str:
        sums, unit = review_sums(list(self.book.rows.values())), self.bench.desk.yard.weight_unit
        narrowed = f"{shown} shown of " if self.book.order.typed.strip() else ""
        held = f"{sums.held} on hold, {sums.void} void"
        total = (
            f"{narrowed}{many(sums.entries, 'entry', 'entries')}, {mass(sums.mass_g, unit)} {unit}, {held}"
        )
        return total if self.book.is_whole else READING_ON.format(count=len(self.book.rows))

    def show_selected(self) -> None:
        """Show the selected piece in full."""
        row = self.selected
        if row is not None:
            text = in_full(row.piece, self.bench.desk.yard.weight_unit)
        else:
            text = Content.styled(NONE_MATCH if self.book.order.typed.strip() else NO_PIECES, "$quiet")
        self.query_one("#piece-in-full", Static).update(text, layout=False)

    def say(self, said: Said) -> None:
        """Show one sentence until the next, and what changed."""
        self.query_one(SaidPane).said = said
        if self.book.refresh():
            self.show_rows()

    def narrow(self, typed: str) -> None:
        """List the pieces that have what is typed."""
        self.book.order_by(typed=typed)
        self.show_rows()

    @on(Input.Submitted, "#filter")
    def keep_filter(self, event: Input.Submitted) -> None:
        """Go back to the list, narrowed as it is."""
        event.stop()
        self.query_one(ReviewList).focus()
        if not event.value.strip():
            self.end_filter()

    def end_filter(self) -> None:
        """Show every piece again."""
        self.query_one("#filter", EntryLine).clear()
        self.query_one("#filter-box").display = False
        self.query_one(ReviewList).focus()

    def action_filter(self) -> None:
        """Begin to type what to look for."""
        self.query_one("#filter-box").display = True
        self.query_one("#filter", EntryLine).focus()

    def action_sort(self) -> None:
        """Sort by the next column."""
        self.book.order_by(sort_by=self.book.order.sort_by.next)
        self.show_rows()

    def action_turn(self) -> None:
        """Turn the order round."""
        self.book.order_by(is_turned=not self.book.order.is_turned)
        self.show_rows()

    def action_holds(self) -> None:
        """Put pieces on hold first, or back where they belong."""
        self.book.order_by(holds_first=not self.book.order.holds_first)
        self.show_rows()
        self.action_step(-len(self.book.rows))

    def action_before(self) -> None:
        """List the pieces of the run before too, or no more."""
        if not self.book.order.has_before and not self.book.read_run_before():
            self.query_one(SaidPane).said = Said(NONE_BEFORE, is_refusal=True)
            return
        self.book.order_by(has_before=not self.book.order.has_before)
        self.show_rows()
        if self.book.order.has_before:
            self.query_one(SaidPane).said = Said(LATE_FROM_HERE.format(run=self.book.run_before))

    def action_step(self, by: int) -> None:
        """Select another piece."""
        self.query_one(ReviewList).step(by)
        self.show_selected()

    def action_page(self, by: int) -> None:
        """Select a piece one page further."""
        self.action_step(by * max(1, self.query_one(ReviewList).size.height - 1))

    def action_back(self) -> None:
        """End the filter, or go back to sorting."""
        if self.query_one("#filter-box").display:
            self.end_filter()
        else:
            self.action_leave()

    def action_leave(self) -> None:
        """Go back to sorting."""
        self.dismiss(None)


def in_full(piece: "PieceState", unit: str) -> Content:
    """Return everything that is kept of a piece in a few lines."""
    head = Content.assemble(
        (f"{mass(piece.mass_g, unit)} {unit}", "bold"),
        f"  {piece.bay}",
        (f"  tag {piece.tag}" if piece.tag else "", "bold"),
        f"  {local_day_and_time(piece.at_utc)}  {piece.person}",
        f"  {piece.supplier} {piece.load}".rstrip(),
        # Last, since it may be long and stands in the list too.
        f"  {piece.grade_label or UNNAMED}",
    )
    lines = [head, Content.assemble(("typed  ", "$quiet"), piece.line)]
    if piece.is_held and piece.waits_for:
        lines.append(Content.assemble(("waits  ", "$quiet"), piece.waits_for))
    if piece.note and piece.note not in piece.line:
        lines.append(Content.assemble(("note   ", "$quiet"), piece.note))
    lines += [Content.assemble(("since  ", "$quiet"), one.said(unit)) for one in piece.corrections[::-1]]
    return Content("\n").join(lines)
