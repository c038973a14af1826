"""How a word begun on the entry line is finished, and finished in the next way at the next press."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.desk import Desk


class Completion:
    """Finishes the word before the cursor; asked again at once, offers the next way."""

    def __init__(self) -> None:
        self._ways: tuple[str, ...] = ()
        self._place = 0
        self._left: tuple[str, int] = ("", -1)
        """Line and cursor as the last completion left them."""
        self._head = ""
        self._tail = ""

    def finish(self, line: str, cursor: int, desk: "Desk") -> tuple[str, int] | None:
        """Return the line with the word finished and the new cursor; None when there is no way."""
        from console.entry.complete import complete

        if (line, cursor) == self._left and len(self._ways) > 1:
            self._place = (self._place + 1) % len(self._ways)
        else:
            completions = complete(line, cursor, desk.names, desk.yard)
            self._head, self._tail = line[: completions.start], line[cursor:]
            self._ways, self._place = completions.ways, 0
        if not self._ways:
            return None
        head = self._head + self._ways[self._place] + " "
        self._left = (head + self._tail.lstrip(), len(head))
        return self._left
