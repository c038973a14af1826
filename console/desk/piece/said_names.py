"""The names of metals typed in this run, the last one first: what is likeliest to be typed again."""

from typing import TYPE_CHECKING

from console.desk.run_pages import newest_seq
from console.entry.parse import parse_line
from console.entry.token_kind import TokenKind

if TYPE_CHECKING:
    from console.desk.desk import Desk

PIECES_BACK = 60
"""Pieces that a start looks back over, and names that are kept; our own choice."""


class SaidNames:
    """Follows the ledger: a restart and a take-over know the names of the run."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._seq = -PIECES_BACK
        self._names: tuple[str, ...] = ()

    def now(self) -> tuple[str, ...]:
        """Return the names; only what was tallied since the last call is looked at."""
        newest = newest_seq(self._desk.ledger)
        if newest != self._seq:
            back = min(PIECES_BACK, newest - self._seq)
            self._seq = newest
            self._look(back)
        return self._names

    def _look(self, back: int) -> None:
        pieces = self._desk.review.latest(back)
        said = [
            token.text.casefold()
            for piece in pieces
            if not piece.is_void
            for token in parse_line(piece.line, names=self._desk.names, yard=self._desk.yard).tokens
            if token.kind is TokenKind.CLAIM and not token.problem
        ]
        self._names = tuple(dict.fromkeys((*said, *self._names)))[:PIECES_BACK]
