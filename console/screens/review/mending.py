"""What the review does to a piece, each act with its question and its reason."""

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeAlias

from textual.content import Content

from console.desk.sentences import which
from console.ground.figures import many
from console.ground.mass import mass
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt
from console.screens.frames.asking import ask, ask_and_act, pick
from console.screens.frames.bay_picks import bay_picks
from console.screens.frames.text_screen import TextScreen
from console.screens.review.resolving import Resolving

if TYPE_CHECKING:
    from console.desk import Desk, Done
    from console.ledger.rows.rows import PieceState
    from console.screens.review.review_screen import ReviewScreen

Correct: TypeAlias = "Callable[[PieceState, str], None]"
"""Brings the line of a piece back to the entry line; takes the piece and what it is called."""
WHICH_BAY = "Move to which bay?"
VOID_QUESTION = "Why is this piece void? A few words for whoever reads the run."
MOVE_QUESTION = "Why does it move to {code}? A few words for whoever reads the run."
WEIGHT_QUESTION = "What does it weigh? It stands with {weight} {unit}."
WEIGHT_REASON = "Why was the weight wrong? A few words for whoever reads the run."
LOAD_TITLE = "Supplier and load"
LOAD_QUESTION = "{count}: whose load? Old Mill load 7; load 7 keeps the supplier; none for nobody's."
EXPLAINED = "Why it was placed there"
NOT_ON_HOLD = (
    "{key[move]} moves it, {key[reweigh]} mends its weight, {key[review-correct]} brings its line back: "
    "it is not on hold but in {bay}."
)
IS_VOID = "This piece is void already: type what it should have been on the entry line."
OF_RUN_BEFORE = "{key[move]} moves it, {key[reweigh]} mends its weight: a line is corrected in its own run."
NO_LINE_HERE = "Leave the close-out, then {key[review-leave]}: the entry line is needed for that."
USUAL_REASON = "in the review"
"""What is offered claims nothing of the metal or of anybody: only the person at hand knows why."""


class Mending:
    """Keys in, rows of the ledger out; every act is about the piece under the mark."""

    def __init__(self, screen: "ReviewScreen", desk: "Desk", correct: "Correct | None") -> None:
        self._screen = screen
        self._desk = desk
        self._correct = correct
        self._resolving = Resolving(screen, desk, screen.acted)

    def _ask(self, question: str, what: str, then: "Callable[[str], Done[None]]") -> None:
        ask_and_act(self._screen, question, then, title=what.capitalize(), usual=USUAL_REASON)

    def void(self, piece: "PieceState") -> None:
        """Void it, with a reason."""
        review = self._desk.review
        self._ask(VOID_QUESTION, "void", lambda reason: review.void(piece.row_id, reason))

    def move(self, piece: "PieceState") -> None:
        """Move it to another bay, with a reason."""
        review = self._desk.review

        def chosen(code: str) -> None:
            question = MOVE_QUESTION.format(code=code)
            self._ask(question, "move", lambda reason: review.move(piece.row_id, code, reason))

        pick(self._screen, bay_picks(self._desk.yard, None), chosen, title=WHICH_BAY)

    def reweigh(self, piece: "PieceState") -> None:
        """Correct its weight, with a reason."""
        review, unit = self._desk.review, self._desk.yard.weight_unit

        def weighed(weight: str) -> None:
            self._ask(WEIGHT_REASON, "weight", lambda why: review.reweigh(piece.row_id, weight, why))

        question = WEIGHT_QUESTION.format(weight=mass(piece.mass_g, unit), unit=unit)
        ask(self._screen, question, weighed, title="Weight")

    def correct(self, piece: "PieceState") -> None:
        """Go back to sorting with its line, which takes its place when it is entered."""
        why = IS_VOID if piece.is_void else "" if piece.run_id == self._desk.run().run_id else OF_RUN_BEFORE
        if self._correct is None:
            why = NO_LINE_HERE
        if why or self._correct is None:
            self._screen.say(Said(why.format(key=self._screen.key_names), is_refusal=True))
            return
        self._screen.dismiss(None)
        self._correct(piece, which(piece, self._desk.yard))

    def resolve(self, piece: "PieceState") -> None:
        """Name it with new findings and send it off hold, with a reason."""
        if not piece.is_held or piece.is_void:
            why = NOT_ON_HOLD.format(bay=piece.bay, key=self._screen.key_names)
            self._screen.say(Said(why, is_refusal=True))
            return
        self._resolving.begin(piece)

    def mark(self, piece: "PieceState") -> None:
        """Mark it for the next act on several, or take its mark away."""
        self._screen.rows.mark(piece.row_id)
        self._screen.show_selected()

    def load(self, piece: "PieceState") -> None:
        """Say whose load it belongs to, and every other piece that is marked or shown."""
        book, rows = self._screen.book, self._screen.rows
        pieces = [row.piece for row in book.rows.values() if row.piece.row_id in rows.marked]
        if not pieces:
            pieces = [row.piece for row in rows.rows] if book.order.typed.strip() else [piece]
        ids = [one.row_id for one in pieces]
        count = many(len(pieces), "piece", "pieces")

        def told(answer: str) -> None:
            self._screen.acted(attempt(lambda: self._desk.loads.assign(ids, answer)))
            self._screen.rows.marked.clear()

        ask(self._screen, LOAD_QUESTION.format(count=count), told, title=LOAD_TITLE)

    def explain(self, piece: "PieceState") -> None:
        """Show what was known of it when it was placed."""
        text = self._desk.review.explained(piece.row_id, max(60, self._screen.app.size.width - 2))
        self._screen.app.push_screen(TextScreen(EXPLAINED, Content(text), opened_by="review-explain"))
