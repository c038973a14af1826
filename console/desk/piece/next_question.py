"""What a line entered asks for before it is a piece: one order of questions for whoever takes lines."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from console.entry.editing.asking import answered, question

if TYPE_CHECKING:
    from console.desk.desk import Desk
    from console.desk.done import Done
    from console.desk.piece.considering import Consideration
    from console.entry.parsed import ParsedLine
    from grade_library.cautions import Caution

SEEN = "seen"
"""Typed as a line while something that was left waits to be read."""
NO_WEIGHT = "Type the weight anywhere on the line, such as 12.4 or 820g: it is missing."


class Asks(StrEnum):
    """What comes next with a line that was entered."""

    LOAD = "load"
    """Nothing: it says whose load the pieces are of."""
    TAG = "tag"
    """It is a tag: what has it is opened."""
    SEEN = "seen"
    """Nothing: who works here says that they saw what was left."""
    PIECE = "piece"
    """There is only a bay: the piece is still to be typed."""
    LINE = "line"
    """Nothing is typed."""
    WORD = "word"
    """What a word means; the answer is a number, or the line once more."""
    WEIGHT = "weight"
    STOP = "stop"
    """Whether the STOP was read; the line once more says so."""
    REASON = "reason"
    """Why it may go into a dear bay though its skin was read."""
    NOTHING = "nothing"
    """It can be tallied, or the desk says what is wrong with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a line asks for."""

    for_what: Asks
    say: str = ""
    """The question, or why it is asked; empty where whoever asks has its own words."""
    stop: "Caution | None" = None


class Questions:
    """Remembers what was asked of the last line, and which STOP was read."""

    def __init__(self) -> None:
        self._word: ParsedLine | None = None
        self._stop_read_for = ""

    def replied(self, line: str) -> str:
        """Return a line with the question about a word answered, as typed where it answers none."""
        asked, self._word = self._word, None
        return _replied(asked, line)

    def replying(self, line: str) -> str:
        """Return a line as `replied` will while the answer is being typed; the question still stands."""
        is_typed = self._word is not None and line.rstrip() != self._word.line.rstrip()
        return _replied(self._word, line) if is_typed else line

    def next(self, desk: "Desk", considered: "Consideration", bay_code: str | None = None) -> Asked:
        """Return what a line asks for first.

        Args:
            desk: Where.
            considered: The line.
            bay_code: Where it goes; None for the bay on the line or the suggested one.
        """
        parsed = considered.parsed
        if parsed.whose_load is not None:
            return Asked(for_what=Asks.LOAD)
        if parsed.tag:
            return Asked(for_what=Asks.TAG)
        if parsed.line.strip().casefold() == SEEN and desk.left.is_due:
            return Asked(for_what=Asks.SEEN)
        if parsed.is_only_a_bay:
            return Asked(for_what=Asks.PIECE)
        if parsed.is_blank:
            return Asked(for_what=Asks.LINE)
        if parsed.asked is not None and parsed.problems:
            self._word = parsed
            return Asked(for_what=Asks.WORD, say=question(parsed))
        if parsed.mass_g is None and not parsed.problems:
            return Asked(for_what=Asks.WEIGHT, say=NO_WEIGHT)
        stop = next((one for one in considered.cautions if str(one.level) == "stop"), None)
        if parsed.can_be_tallied and stop is not None and self._stop_read_for != parsed.line:
            self._stop_read_for = parsed.line
            return Asked(for_what=Asks.STOP, stop=stop)
        if guarded := desk.piece.why_guarded(considered, bay_code):
            return Asked(for_what=Asks.REASON, say=guarded)
        return Asked(for_what=Asks.NOTHING)

    def forget(self) -> None:
        """A line was tallied: the next STOP is read anew."""
        self._stop_read_for = ""


def _replied(asked: "ParsedLine | None", line: str) -> str:
    reply = None if asked is None else answered(asked, line)
    return line if reply is None else reply


def tally_or_again(desk: "Desk", considered: "Consideration", bay_code: str | None = None) -> "Done[None]":
    """Tally a piece, or the last one once more where the line is a weight.

    Raises:
        DeskRefusal: As for either act.
        StoreError: The disk refused; nothing was written.
    """
    act = desk.same_again if desk.piece.is_same_again(considered) else desk.tally
    return act(considered, bay_code=bay_code)
