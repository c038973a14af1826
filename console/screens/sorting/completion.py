"""How a word begun on the entry line is finished, and finished in the next way at the next press."""

from typing import TYPE_CHECKING

from console.entry.token_kind import TokenKind
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.screens.sorting.sorting_screen import SortingScreen

_SETTLED = "settled"
"""As placements call it."""


class Completion:
    """Finishes the word before the cursor; asked again at once, offers the next way."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self._ways: tuple[str, ...] = ()
        self._place = 0
        self._left: tuple[str, int] = ("", -1)
        """Line and cursor as the last completion left them."""
        self._head = ""
        self._tail = ""
        screen.line.when_spaced = self.answered

    def finish(self, line: str, cursor: int) -> None:
        """Put the finished word onto the line, where there is a way to finish it."""
        if not self._screen.is_open:
            return
        if self._is_scanned(line) and cursor == len(line):
            self._screen.entering.enter(line)
            return
        if (line, cursor) == self._left and len(self._ways) > 1:
            self._place = (self._place + 1) % len(self._ways)
        else:
            completions = self._screen.desk.piece.said.completions(line, cursor)
            self._head, self._tail = line[: completions.start], line[cursor:]
            self._ways, self._place = completions.ways, 0
        if self._ways:
            head = self._head + self._ways[self._place] + " "
            self._left = (head + self._tail.lstrip(), len(head))
            entry = self._screen.panes.entry.line
            entry.value, entry.cursor_position = self._left

    def shade(self, considered: "Consideration") -> None:
        """Show in grey behind the line which element is asked for, or the name of this run that Tab takes.

        Args:
            considered: What the line says; where that is settled already, the grey says so.
        """
        piece, entry = self._screen.desk.piece, self._screen.panes.entry.line
        line = entry.value
        symbol = piece.habit.asked_behind(line)
        if symbol:
            placement = considered.placement
            is_settled = placement is not None and str(placement.sureness) == _SETTLED
            entry.shade(words.ASKED_STILL.format(symbol=symbol) if is_settled else f"{symbol}?")
        else:
            entry.shade(piece.said.going_on(line, considered.parsed) if entry.is_at_end else "")

    def answered(self, line: str) -> str:
        """Return the line with the symbol of the figure that a blank ends, ready for the next one; empty
        where no figure was asked for."""
        return self._screen.desk.piece.habit.gone_on(line) if self._screen.is_open else ""

    def _is_scanned(self, line: str) -> bool:
        """Tell whether a scanner that sends Tab ended the line: in a bay, or a word that nothing goes on
        from."""
        desk = self._screen.desk
        if not line.strip() or line[-1].isspace():
            return False
        considered = desk.consider(line)
        if considered and considered.parsed.tag:
            return True  # there is nothing to finish in a tag, whatever the yard's scanner sends
        if desk.yard.console.scanner_suffix != "tab":
            return False
        tokens = considered.parsed.tokens if considered else ()
        is_bay = any(one.kind is TokenKind.BAY and not one.problem for one in tokens[-1:])
        return is_bay or not desk.piece.said.completions(line, len(line)).ways
