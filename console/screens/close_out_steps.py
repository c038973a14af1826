"""Closing a run step by step: what becomes of the holds, words for a difference, who signs."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from console.panes.figures import many, mass
from console.panes.said_pane import Said, SaidPane
from console.screens.ask_screen import AskScreen
from console.screens.bench import refusals
from console.screens.console_screen import ConsoleScreen
from console.screens.pick_screen import Pick, PickScreen
from console.screens.run_closed import RunClosed
from console.screens.words import PICK_HINT

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState
    from console.screens.bench import Bench

EXPLAIN_TITLE = "Before the run closes"
SIGN_TITLE = "Who signs for this run?"
SIGN_QUESTION = "Why may {tag} stay as it is? It is signed for with these words."
CARRY, SIGN, RESOLVE, EACH = "carry", "sign", "resolve", "each"


class CloseOutSteps(ConsoleScreen[None]):
    """F8 leads through the steps; Esc at any of them leaves the run open."""

    def __init__(self, bench: "Bench") -> None:
        super().__init__()
        self.bench = bench
        self._signed_for: dict[str, str] = {}
        self._explanation = ""
        self.is_over = False
        """The run is closed; there are no sums of an open run to show any more."""

    def action_close_run(self) -> None:
        """Begin with the pieces that still wait on hold."""
        self._signed_for, self._explanation = {}, ""
        holds = self.bench.desk.sums().holds
        if not holds:
            self._explain()
            return

        def chosen(what: str | None) -> None:
            if what == CARRY:
                self._explain()
            elif what == EACH:
                self._next_hold(holds)
            elif what == RESOLVE:
                self.action_holds()

        title = f"{many(len(holds), 'piece', 'pieces')} still on hold: what becomes of them?"
        self.app.push_screen(PickScreen(_picks_for_all(holds), title=title, hint=PICK_HINT), chosen)

    def action_holds(self) -> None:
        """Show the pieces on hold in the review, to resolve them."""
        from console.screens.review_screen import ReviewScreen

        self.app.push_screen(ReviewScreen(self.bench, holds_first=True))

    def _next_hold(self, holds: "Sequence[PieceState]") -> None:
        """Ask hold by hold."""
        if not holds:
            self._explain()
            return
        piece, rest = holds[0], holds[1:]
        tag = piece.tag or ""

        def worded(words: str | None) -> None:
            if words:
                self._signed_for[tag] = words
                self._next_hold(rest)

        def chosen(what: str | None) -> None:
            if what == CARRY:
                self._next_hold(rest)
            elif what == RESOLVE:
                self.action_holds()
            elif what == SIGN:
                self.app.push_screen(AskScreen(SIGN_QUESTION.format(tag=tag), title=tag), worded)

        unit = self.bench.desk.yard.weight_unit
        title = f"{tag}, {mass(piece.mass_g, unit)} {unit}, {piece.line}"
        self.app.push_screen(PickScreen(_PICKS_FOR_ONE, title=title, hint=PICK_HINT), chosen)

    def _explain(self) -> None:
        """Ask for words about a difference or a missing ticket, where they are wanted."""
        wanted = self.bench.desk.words_wanted()
        if not wanted:
            self._sign()
            return

        def explained(text: str | None) -> None:
            if text:
                self._explanation = text
                self._sign()

        self.app.push_screen(AskScreen(wanted, title=EXPLAIN_TITLE), explained)

    def _sign(self) -> None:
        """Ask who signs; who works the run stands first."""
        desk = self.bench.desk
        people = dict.fromkeys([desk.person, *desk.yard.people])
        picks = [Pick(key=name, code=str(number), text=name) for number, name in enumerate(people, start=1)]

        def signed(person: str | None) -> None:
            if person:
                self._close(person)

        self.app.push_screen(PickScreen(picks, title=SIGN_TITLE, hint=PICK_HINT), signed)

    def _close(self, person: str) -> None:
        """Close the run, or say why it cannot be."""
        try:
            handover = self.bench.desk.close_out(
                self._explanation, signed_by=person, signed_for=self._signed_for
            )
        except refusals() as refusal:
            self.query_one(SaidPane).said = Said(str(refusal), is_refusal=True)
            return
        self.is_over = True
        self.app.post_message(RunClosed(handover))


def _picks_for_all(holds: "Sequence[PieceState]") -> list[Pick]:
    first = " ".join(piece.tag or "" for piece in holds[:3])
    aside = first if len(holds) <= 3 else f"{first} …"
    return [
        Pick(key=CARRY, code="1", text="carry all over to the next run", aside=aside),
        Pick(key=EACH, code="2", text="decide one by one: carry over, sign for, or resolve"),
        Pick(key=RESOLVE, code="3", text="resolve them now, in the review"),
    ]


_PICKS_FOR_ONE = (
    Pick(key=CARRY, code="1", text="carry over: the next run settles it"),
    Pick(key=SIGN, code="2", text="sign for it: it stays as it is, in your words"),
    Pick(key=RESOLVE, code="3", text="resolve it now, in the review"),
)
