"""How a word begun on the entry line is finished."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.desk import Desk

MOST = 12
"""Ways to finish one word; more than that is a search, and the candidates do that better."""


class Completion:
    """Finishes the word before the cursor; asked again at once, offers the next way."""

    def __init__(self) -> None:
        self._ways: list[str] = []
        self._place = 0
        self._left: tuple[str, int] = ("", -1)
        """Line and cursor as the last completion left them."""
        self._head = ""
        self._tail = ""

    def finish(self, line: str, cursor: int, desk: "Desk") -> tuple[str, int] | None:
        """Return the line with the word finished and the new cursor; None when there is no way."""
        if (line, cursor) == self._left and len(self._ways) > 1:
            self._place = (self._place + 1) % len(self._ways)
        else:
            start = line.rfind(" ", 0, cursor) + 1
            self._head, self._tail = line[:start], line[cursor:]
            self._ways = ways_to_finish(line[start:cursor], desk)
            self._place = 0
        if not self._ways:
            return None
        head = self._head + self._ways[self._place] + " "
        self._left = (head + self._tail.lstrip(), len(head))
        return self._left


def ways_to_finish(begun: str, desk: "Desk") -> list[str]:
    """Return what a word may be meant to be, likeliest first: bays, facts, then grades."""
    folded = begun.casefold()
    if not folded:
        return []
    from console.entry.vocabulary import BY_WORD

    bays = [bay.code for bay in desk.yard.bays if bay.code.casefold().startswith(folded)]
    facts = sorted(word for word in BY_WORD if word.startswith(folded) and " " not in word)
    names = desk.names.complete(begun, limit=MOST)
    ways = dict.fromkeys([*bays, *facts, *names])
    return [way for way in ways if way.casefold() != folded][:MOST]
