"""What was typed of the pieces of this run, which is likeliest to be typed again: readings and names.

It follows the ledger: a restart and a take-over go on as the last piece left it.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from console.desk.piece.asked_element import AskedElement
from console.desk.run_pages import newest_seq
from console.entry.editing.answering import (
    ASKED,
    answered,
    asks,
    before,
    goes_on,
    not_shown,
    without_not_shown,
)
from console.entry.editing.complete import Completions, complete, said_again
from console.entry.editing.short_words import in_words
from console.entry.editing.spelling_out import Habit, habit_of, spelled_out
from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine
from console.entry.token_kind import TokenKind
from console.entry.yard_words import bay_codes
from console.ledger.rows.rows import PieceState
from grade_library.matcher.prior import Prior

if TYPE_CHECKING:
    from console.desk.desk import Desk

READINGS_BACK = 20
"""Pieces that a start looks back over for readings; our own choice."""
NAMES_BACK = 60
"""The same for names, and so many of them are kept; our own choice."""


_TOLD = frozenset(
    {TokenKind.CLAIM, TokenKind.READING, TokenKind.SHOT, TokenKind.BAY, TokenKind.HOLD, TokenKind.LOAD}
)
"""What says what the metal is, or where it goes without that."""


class _NewPieces:
    """The pieces of the run that were tallied since they were last asked for."""

    def __init__(self, desk: "Desk", most: int) -> None:
        self._desk = desk
        self._most = most
        self._seq = -most

    def standing(self) -> Iterator[PieceState]:
        """Yield those that stand, the newest first, and so many at most."""
        newest = newest_seq(self._desk.ledger)
        if newest != self._seq:
            back = min(self._most, newest - self._seq)
            self._seq = newest
            yield from (piece for piece in self._desk.review.latest(back) if not piece.is_void)


class ReadingHabit:
    """How the last reading was typed: its elements in their order, and its technique."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._new = _NewPieces(desk, READINGS_BACK)
        self._habit = Habit()
        self._asked = AskedElement(desk)

    def in_full(self, line: str, *, repeats_technique: bool = True) -> str:
        """Return a line as typed with the yard's own words written out, and what was left out in a run of
        readings; files name their technique."""
        line = in_words(line, self._desk.yard.words)
        return self._spelled_out(without_not_shown(self.answered(line)), repeats_technique)

    def answered(self, line: str) -> str:
        """Return a line with the symbols of the elements that were asked for behind "*"."""
        return answered(line, self.next_element, self._desk.names, bay_codes(self._desk.yard))

    def asked_behind(self, line: str) -> str:
        """Return the symbol of the element that a line waits for; empty where it waits for none."""
        return self.next_element(before(line)) if asks(line) else ""

    def gone_on(self, line: str) -> str:
        """Return a line with the symbol of the figure at its end, ready for the next one; empty where that
        answers nothing."""
        return goes_on(line, self.answered(line)) if ASKED in line else ""

    def next_element(self, line: str) -> str:
        """Return the symbol of the element that decides next for a line as far as it was typed; empty where
        none is left, or none is known to begin with."""
        line = in_words(line, self._desk.yard.words)
        return self._asked.of(self._spelled_out(without_not_shown(line), True), not_shown(line))

    def _spelled_out(self, line: str, repeats_technique: bool) -> str:
        desk = self._desk
        return spelled_out(
            line,
            self.now(),
            names=desk.names,
            yard=desk.yard,
            grade=desk.library.grade,
            repeats_technique=repeats_technique and not desk.readings.on_line,
        )

    def now(self) -> Habit:
        """Return the habit; a piece without readings changes nothing of it."""
        for piece in reversed(list(self._new.standing())):
            if found := habit_of(piece.line, names=self._desk.names, yard=self._desk.yard):
                self._habit = found.after(self._habit)
        return self._habit


class SaidNames:
    """The names of metals, the last one first."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._new = _NewPieces(desk, NAMES_BACK)
        self._names: tuple[str, ...] = ()

    def now(self) -> tuple[str, ...]:
        """Return the names."""
        said = [
            token.text.casefold()
            for piece in self._new.standing()
            for token in parse_line(piece.line, names=self._desk.names, yard=self._desk.yard).tokens
            if token.kind is TokenKind.CLAIM and not token.problem
        ]
        self._names = tuple(dict.fromkeys((*said, *self._names)))[:NAMES_BACK]
        return self._names

    def completions(self, line: str, cursor: int) -> Completions:
        """Return how the word before the cursor can be finished: names of this run, then bays and words, then
        what this yard meets oftener."""
        desk = self._desk
        prior = desk.known.prior or Prior.usual(desk.library)
        parsed = parse_line(line[:cursor], names=desk.names, yard=desk.yard)
        said = self._offered(line[:cursor], parsed)
        return complete(line, cursor, desk.names, desk.yard, prior.weights, said)

    def going_on(self, line: str, parsed: ParsedLine) -> str:
        """Return what Tab would put behind a line of the names of this run; empty where it has none.

        Args:
            line: As typed.
            parsed: What it says.
        """
        found = said_again(line, len(line), self._offered(line, parsed))
        begun = line[found.start :]
        return next((way[len(begun) :] for way in found.ways), "")

    def _offered(self, line: str, parsed: ParsedLine) -> tuple[str, ...]:
        """Return the names of this run; none behind a blank where the metal is told already."""
        is_told = line[-1:].isspace() and any(token.kind in _TOLD for token in parsed.tokens)
        return () if is_told else self.now()
