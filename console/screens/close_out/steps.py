"""Closing a run step by step: what becomes of the holds, words for a difference, who signs."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from console.ground.figures import many
from console.ground.mass import mass
from console.screens.close_out.run_closed import RunClosed
from console.screens.frames.acting import attempt
from console.screens.frames.asking import ask, names, pick
from console.screens.frames.pick_screen import Pick
from console.screens.further.rechecks_screen import RechecksScreen

if TYPE_CHECKING:
    from pathlib import Path

    from console.desk import Desk, Done
    from console.ledger.rows.rows import PieceState
    from console.screens.close_out.close_out_screen import CloseOutScreen

ONE_HELD = "1 piece still on hold: what becomes of it?"
SEVERAL_HELD = "{count} pieces still on hold: what becomes of them?"
EXPLAIN_TITLE = "Before the run closes"
SIGN_TITLE = "Who signs for this run?"
SIGN_QUESTION = "Why may {tag} stay as it is? It is signed for with these words."
CARRY, SIGN, RESOLVE, EACH = "carry", "sign", "resolve", "each"


class CloseOutSteps:
    """One after the other; Esc at any of them leaves the run open."""

    def __init__(self, screen: "CloseOutScreen", desk: "Desk") -> None:
        self._screen = screen
        self._desk = desk
        self._signed_for: dict[str, str] = {}
        self._explanation = ""

    def begin(self) -> None:
        """Begin with the pieces that came back for a second look."""
        self._signed_for, self._explanation = {}, ""
        due = self._desk.rechecks.due()
        if not due:
            self._holds()
            return

        def chosen(what: str) -> None:
            if what == CARRY:
                self._holds()
            else:
                self._screen.app.push_screen(RechecksScreen(self._desk))

        title = f"{many(len(due), 'piece waits', 'pieces wait')} for a second look: {due[0].mark} ..."
        pick(self._screen, _PICKS_FOR_RECHECKS, chosen, title=title)

    def _holds(self) -> None:
        holds = self._desk.sums().holds
        if not holds:
            self._explain()
            return

        def chosen(what: str) -> None:
            if what == CARRY:
                self._explain()
            elif what == EACH:
                self._next_hold(holds)
            else:
                self._screen.action_holds()

        title = ONE_HELD if len(holds) == 1 else SEVERAL_HELD.format(count=len(holds))
        pick(self._screen, _picks_for_all(holds), chosen, title=title)

    def _next_hold(self, holds: "Sequence[PieceState]") -> None:
        if not holds:
            self._explain()
            return
        piece, rest = holds[0], holds[1:]
        tag = piece.tag or ""

        def worded(words: str) -> None:
            self._signed_for[tag] = words
            self._next_hold(rest)

        def chosen(what: str) -> None:
            if what == CARRY:
                self._next_hold(rest)
            elif what == RESOLVE:
                self._screen.action_holds()
            else:
                ask(self._screen, SIGN_QUESTION.format(tag=tag), worded, title=tag)

        unit = self._desk.yard.weight_unit
        title = f"{tag}, {mass(piece.mass_g, unit)} {unit}, {piece.line}"
        pick(self._screen, _PICKS_FOR_ONE, chosen, title=title)

    def _explain(self) -> None:
        """Ask for words about a difference or a missing ticket, where they are wanted."""

        def explained(text: str) -> None:
            self._explanation = text
            self._sign()

        wanted = self._desk.closing.words_wanted()
        if wanted:
            ask(self._screen, wanted, explained, title=EXPLAIN_TITLE)
        else:
            self._sign()

    def _sign(self) -> None:
        """Ask who signs; who works the run stands first."""
        people = dict.fromkeys([self._desk.person, *self._desk.yard.people])
        pick(self._screen, names(people), self._close, title=SIGN_TITLE)

    def _close(self, person: str) -> None:
        def closed(done: "Done[Path]") -> None:
            self._screen.is_over = True
            self._screen.app.post_message(RunClosed(done.made))

        close, words = self._desk.closing.close_run, self._signed_for
        said = attempt(lambda: close(self._explanation, signed_by=person, signed_for=words), closed)
        self._screen.say(said)


def _picks_for_all(holds: "Sequence[PieceState]") -> list[Pick]:
    first = " ".join(piece.tag or "" for piece in holds[:3])
    aside = first if len(holds) <= 3 else f"{first} …"
    return [
        Pick(key=CARRY, code="1", text="carry all over to the next run", aside=aside),
        Pick(key=EACH, code="2", text="decide one by one: carry over, sign for, or resolve"),
        Pick(key=RESOLVE, code="3", text="resolve them now, in the review"),
    ]


_PICKS_FOR_RECHECKS = (
    Pick(key=RESOLVE, code="1", text="look at them now: shoot or file each, blind"),
    Pick(key=CARRY, code="2", text="close without: they count as not looked at"),
)
_PICKS_FOR_ONE = (
    Pick(key=CARRY, code="1", text="carry over: the next run settles it"),
    Pick(key=SIGN, code="2", text="sign for it: it stays as it is, in your words"),
    Pick(key=RESOLVE, code="3", text="resolve it now, in the review"),
)
