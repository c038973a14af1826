"""A piece on hold is named with what was found since: in the review, or from its tag on the entry line."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from console.ground.cleaning import clean
from console.ground.errors import BaywrightError
from console.ground.figures import many
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt, refused
from console.screens.frames.ask_screen import Offers
from console.screens.frames.asking import ask, pick
from console.screens.frames.bay_picks import bay_picks

if TYPE_CHECKING:
    from console.desk import Desk
    from console.desk.readings.for_hold import ReadingsForHold
    from console.desk.readings.queue import Together
    from console.ledger.rows.rows import PieceState
    from console.screens.frames.console_screen import ConsoleScreen

TITLE = "Resolve"
UNDECIDED = "Still undecided ({becomes}): which bay?"
THIS_PIECE = "This piece"
QUESTION = (
    '{tag}, typed as "{line}"{waits}. What was found? A reading, a scratch colour, a name; '
    "a reading counts instead of the one before, / begins a further shot."
)
REASON = "{becomes}. What settled it? A few words for whoever reads the run."
USUAL_REASON = "as found"
"""What is offered claims nothing of the metal or of anybody: only the person at hand knows why."""
WAITING = "{count}, next of {piece}: {{key}} puts it here"


class Resolving:
    """Asks what was found, where it goes if that is not settled, and why; then the row is written."""

    def __init__(self, screen: "ConsoleScreen", desk: "Desk", then: "Callable[[Said], object]") -> None:
        self._screen = screen
        self._desk = desk
        self._then = then
        """Hears what the act came to."""

    def begin(self, piece: "PieceState") -> None:
        """Ask what was found of a piece that waits."""
        from console.desk.readings.for_hold import ReadingsForHold

        is_said = piece.waits_for in piece.line
        waits = f", waits for: {piece.waits_for}" if piece.waits_for and not is_said else ""
        question = QUESTION.format(tag=piece.tag or THIS_PIECE, line=piece.line, waits=waits)
        readings = ReadingsForHold(self._desk, piece)
        ask(
            self._screen,
            question,
            lambda findings: self._found(piece, findings, readings.used_by(findings)),
            title=TITLE,
            offers=Offers(put=readings.next_onto, says=lambda: _waiting(readings))
            if readings.count
            else None,
        )

    def _found(self, piece: "PieceState", findings: str, readings: "Together") -> None:
        """Say what the findings make of the piece; where no bay is sure enough, ask for one."""
        from console.desk.sentences import becomes

        review = self._desk.review
        try:
            considered = review.reconsider(piece.row_id, findings)
        except BaywrightError as why:
            self._screen.say(refused(why))
            return

        def settle(code: str) -> None:
            def told(why: str) -> None:
                self._then(
                    attempt(
                        lambda: review.resolve(piece.row_id, findings, why, bay_code=code, readings=readings)
                    )
                )

            question = REASON.format(becomes=f"{becomes(considered.verdict)} -> {code}")
            ask(self._screen, question, told, title=TITLE, usual=USUAL_REASON)

        code, placement = considered.parsed.bay_code, considered.placement
        if code is None and placement is not None and not placement.bay.is_hold:
            code = placement.bay.code
        if code is not None:
            settle(code)
            return
        picks = bay_picks(self._desk.yard, placement, with_hold=False)
        pick(self._screen, picks, settle, title=UNDECIDED.format(becomes=becomes(considered.verdict)))


def _waiting(readings: "ReadingsForHold") -> str:
    count = many(readings.count, "reading waits", "readings wait")
    return WAITING.format(count=count, piece=clean(readings.next[0].piece, 24))
