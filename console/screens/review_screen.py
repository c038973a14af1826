"""The review: every piece of the run, newest first, and what may be mended on it."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from console.panes.figures import local_day_and_time, many, mass
from console.panes.key_line import KeyLine
from console.panes.review_list import ReviewList, heads
from console.panes.said_pane import Said, SaidPane
from console.screens.ask_screen import AskScreen
from console.screens.console_screen import ConsoleScreen
from console.screens.pick_screen import PickScreen
from console.screens.picks import bay_picks
from console.screens.review_keys import REVIEW_KEYS
from console.screens.words import PICK_HINT

if TYPE_CHECKING:
    from console.ledger.rows import PieceState
    from console.screens.bench import Bench

NO_PIECES = "No piece is tallied yet. Esc leads back to the line; the first piece will stand here."
VOID_QUESTION = "Why is this piece void? A few words for whoever reads the run."
MOVE_QUESTION = "Why does it move to {code}? A few words for whoever reads the run."
USUAL_REASON = {"void": "entered in error", "move": "wrong bay"}


class ReviewScreen(ConsoleScreen[None]):
    """The list, the selected piece in full below it."""

    CSS_PATH = "review_screen.tcss"
    AUTO_FOCUS = "#pieces"
    BINDINGS = REVIEW_KEYS

    def __init__(self, bench: "Bench") -> None:
        super().__init__()
        self.bench = bench

    def compose(self) -> ComposeResult:
        """Heads, rows, the selected piece, the last sentence, keys."""
        unit = self.bench.desk.yard.weight_unit
        with Vertical(id="review-box") as box:
            box.border_title = "Review"
            yield Static(Content.styled(heads(unit), "$quiet"), id="heads", markup=False)
            yield ReviewList(unit=unit, id="pieces")
        yield Static(id="piece-in-full", markup=False)
        yield SaidPane(id="said")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Read the run."""
        self.show_pieces()
        self.show_keys()

    def show_pieces(self) -> None:
        """Read the run again and show it."""
        pieces = self.bench.desk.pieces()
        rows = self.query_one(ReviewList)
        rows.show(pieces)
        standing = [piece for piece in pieces if not piece.is_void]
        unit = self.bench.desk.yard.weight_unit
        total = sum(piece.mass_g for piece in standing)
        held = sum(piece.is_held for piece in standing)
        self.query_one("#review-box").border_subtitle = Content(
            f"{many(len(standing), 'entry', 'entries')}, {mass(total, unit)} {unit}, {held} on hold, "
            f"{len(pieces) - len(standing)} void"
        )
        self.show_selected()

    def show_selected(self) -> None:
        """Show the selected piece in full."""
        piece = self.query_one(ReviewList).selected_piece
        text = (
            in_full(piece, self.bench.desk.yard.weight_unit) if piece else Content.styled(NO_PIECES, "$quiet")
        )
        self.query_one("#piece-in-full", Static).update(text, layout=False)

    def say(self, said: Said) -> None:
        """Show one sentence until the next, and the run as it is now."""
        self.query_one(SaidPane).said = said
        self.show_pieces()

    def action_step(self, by: int) -> None:
        """Select another piece."""
        self.query_one(ReviewList).step(by)
        self.show_selected()

    def action_page(self, by: int) -> None:
        """Select a piece one page further."""
        self.action_step(by * max(1, self.query_one(ReviewList).size.height - 1))

    def action_void(self) -> None:
        """Void the selected piece, with a reason."""
        piece = self.query_one(ReviewList).selected_piece
        if piece is None:
            return

        def void(reason: str | None) -> None:
            if reason:
                self.say(self.bench.void(piece.row_id, reason))

        self.app.push_screen(AskScreen(VOID_QUESTION, title="Void", usual=USUAL_REASON["void"]), void)

    def action_move(self) -> None:
        """Move the selected piece to another bay, with a reason."""
        piece = self.query_one(ReviewList).selected_piece
        if piece is None:
            return

        def chosen(code: str | None) -> None:
            if code is None:
                return

            def move(reason: str | None) -> None:
                if reason:
                    self.say(self.bench.move(piece.row_id, code, reason))

            question = MOVE_QUESTION.format(code=code)
            self.app.push_screen(AskScreen(question, title="Move", usual=USUAL_REASON["move"]), move)

        picks = bay_picks(self.bench.desk.yard, None)
        self.app.push_screen(PickScreen(picks, title="Move to which bay?", hint=PICK_HINT), chosen)

    def action_undo(self) -> None:
        """Take back the last act."""
        self.say(self.bench.undo())

    def action_redo(self) -> None:
        """Take back the last undo."""
        self.say(self.bench.redo())

    def action_leave(self) -> None:
        """Go back to sorting."""
        self.dismiss(None)


def in_full(piece: "PieceState", unit: str) -> Content:
    """Return everything that is kept of a piece in a few lines."""
    head = Content.assemble(
        (f"{mass(piece.mass_g, unit)} {unit}", "bold"),
        f"  {piece.bay}  {piece.grade_id or 'unnamed'}  {local_day_and_time(piece.at_utc)}  {piece.person}",
        (f"  tag {piece.tag}" if piece.tag else "", "bold"),
    )
    lines = [head, Content.assemble(("typed  ", "$quiet"), piece.line)]
    if piece.note:
        lines.append(Content.assemble(("note   ", "$quiet"), piece.note))
    lines += [Content.assemble(("since  ", "$quiet"), correction) for correction in piece.corrections]
    return Content("\n").join(lines)
