"""What the review does to a piece, each act with its question and its reason."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.percent import percent
from console.panes.figures import mass
from console.panes.review_order import Listed
from console.panes.said_pane import Said
from console.screens.ask_screen import AskScreen
from console.screens.bench import attempt
from console.screens.console_screen import ConsoleScreen
from console.screens.pick_screen import PickScreen
from console.screens.picks import bay_picks
from console.screens.text_screen import TextScreen
from console.screens.words import PICK_HINT

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.screens.bench import Bench

WHICH_BAY = "Move to which bay?"
UNDECIDED = "Still undecided ({becomes}): which bay?"
THIS_PIECE = "This piece"
VOID_QUESTION = "Why is this piece void? A few words for whoever reads the run."
MOVE_QUESTION = "Why does it move to {code}? A few words for whoever reads the run."
WEIGHT_QUESTION = "What does it weigh? It stands with {weight} {unit}."
WEIGHT_REASON = "Why was the weight wrong? A few words for whoever reads the run."
FINDING_QUESTION = (
    '{tag}, typed as "{line}"{waits}. What was found? A reading, a scratch colour, a name; '
    "/ begins a further shot."
)
RESOLVE_REASON = "{becomes}. What settled it? A few words for whoever reads the run."
EXPLAINED = "Why it was placed there"
NOT_ON_HOLD = (
    "This piece is not on hold, it lies in {bay}. {key[move]} moves it, {key[reweigh]} mends its weight."
)
USUAL_REASON = {
    "void": "entered in error",
    "move": "wrong bay",
    "weight": "misread",
    "resolve": "new reading",
}


class ReviewActs(ConsoleScreen[None]):
    """Keys in, rows of the ledger out; what the list shows is the business of ReviewScreen."""

    def __init__(self, bench: "Bench") -> None:
        super().__init__()
        self.bench = bench

    # -- given by ReviewScreen ------------------------------------------------------------------
    @property
    def selected(self) -> Listed | None:
        """The row under the mark; None when there is none."""
        raise NotImplementedError

    def say(self, said: Said) -> None:
        """Show one sentence until the next, and what changed."""
        raise NotImplementedError

    # -- acts -----------------------------------------------------------------------------------
    def do(self, act: Callable[[], str]) -> None:
        """Do an act at the desk and say what came of it."""
        said = attempt(act)
        if not said.is_refusal:
            self.bench.recall_last()
        self.say(said)

    def ask(self, question: str, title: str, usual: str, then: Callable[[str], None]) -> None:
        """Ask for one line; nothing happens where nothing is answered."""

        def answered(text: str | None) -> None:
            if text:
                then(text)

        self.app.push_screen(AskScreen(question, title=title, usual=usual), answered)

    def action_void(self) -> None:
        """Void the selected piece, with a reason."""
        row = self.selected
        if row is not None:
            row_id = row.piece.row_id
            self.ask(
                VOID_QUESTION,
                "Void",
                USUAL_REASON["void"],
                lambda reason: self.say(self.bench.void(row_id, reason)),
            )

    def action_move(self) -> None:
        """Move the selected piece to another bay, with a reason."""
        row = self.selected
        if row is None:
            return
        row_id = row.piece.row_id

        def chosen(code: str | None) -> None:
            if code is not None:
                self.ask(
                    MOVE_QUESTION.format(code=code),
                    "Move",
                    USUAL_REASON["move"],
                    lambda reason: self.say(self.bench.move(row_id, code, reason)),
                )

        picks = bay_picks(self.bench.desk.yard, None)
        self.app.push_screen(PickScreen(picks, title=WHICH_BAY, hint=PICK_HINT), chosen)

    def action_reweigh(self) -> None:
        """Correct the weight of the selected piece, with a reason."""
        row = self.selected
        if row is None:
            return
        piece, unit, desk = row.piece, self.bench.desk.yard.weight_unit, self.bench.desk

        def weighed(weight: str) -> None:
            def reweigh(reason: str) -> str:
                desk.reweigh(piece.row_id, weight, reason)
                return f"weight mended from {mass(piece.mass_g, unit)} {unit} to {weight}: {reason}"

            self.ask(
                WEIGHT_REASON, "Weight", USUAL_REASON["weight"], lambda why: self.do(lambda: reweigh(why))
            )

        question = WEIGHT_QUESTION.format(weight=mass(piece.mass_g, unit), unit=unit)
        self.ask(question, "Weight", "", weighed)

    def action_resolve(self) -> None:
        """Name the selected piece with new findings and send it off hold, with a reason."""
        row = self.selected
        if row is None:
            return
        piece = row.piece
        if not piece.is_held or piece.is_void:
            self.say(Said(NOT_ON_HOLD.format(bay=piece.bay, key=self.key_names), is_refusal=True))
            return
        waits = f", waits for: {piece.waits_for}" if piece.waits_for else ""
        question = FINDING_QUESTION.format(tag=piece.tag or THIS_PIECE, line=piece.line, waits=waits)
        self.ask(question, "Resolve", "", lambda findings: self._found(piece.row_id, findings))

    def _found(self, row_id: str, findings: str) -> None:
        """Say what the findings make of a held piece; where no bay is sure enough, ask for one."""
        considered: list[Consideration] = []

        def look() -> str:
            considered.append(self.bench.desk.reconsider(row_id, findings))
            return ""

        said = attempt(look)
        if said.is_refusal:
            self.say(said)
            return
        [at_hand] = considered
        if at_hand.parsed.problems:
            self.say(Said(at_hand.parsed.problems[0], is_refusal=True))
            return
        code = at_hand.parsed.bay_code
        if code is None and at_hand.placement is not None and not at_hand.placement.bay.is_hold:
            code = at_hand.placement.bay.code
        if code is not None:
            self._settle(row_id, findings, at_hand, code)
            return

        def chosen(own: str | None) -> None:
            if own is not None:
                self._settle(row_id, findings, at_hand, own)

        picks = [
            pick
            for pick in bay_picks(self.bench.desk.yard, at_hand.placement)
            if pick.key != self.bench.desk.yard.hold_bay.code
        ]
        title = UNDECIDED.format(becomes=becomes(at_hand))
        self.app.push_screen(PickScreen(picks, title=title, hint=PICK_HINT), chosen)

    def _settle(self, row_id: str, findings: str, considered: "Consideration", code: str) -> None:
        desk = self.bench.desk
        self.ask(
            RESOLVE_REASON.format(becomes=f"{becomes(considered)} -> {code}"),
            "Resolve",
            USUAL_REASON["resolve"],
            lambda why: self.do(lambda: desk.resolve(row_id, findings, why, bay_code=code)),
        )

    def action_explain(self) -> None:
        """Show what was known of the selected piece when it was placed."""
        from console.reports.placement_text import explained, placement_text

        row = self.selected
        if row is None:
            return
        desk, width = self.bench.desk, max(60, self.app.size.width - 2)
        found = explained(desk.ledger, row.piece.row_id)
        text = placement_text(found, desk.yard.weight_unit, width)
        self.app.push_screen(TextScreen(EXPLAINED, Content(text), opened_by="review-explain"))

    def action_undo(self) -> None:
        """Take back the last act."""
        self.say(self.bench.undo())

    def action_redo(self) -> None:
        """Take back the last undo."""
        self.say(self.bench.redo())


def becomes(considered: "Consideration") -> str:
    """Return what a piece can be in a few words: "304 81 %"."""
    best = considered.verdict.best
    return f"{best.grade.grade_id} {percent(best.probability)}" if best else "still without a name"
