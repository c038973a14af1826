"""The few keys that matter most, in the last row of a screen."""

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane

WAYS = ((" ", " · "), (" ", "  "), (":", " "))
"""What stands between word and key, and between two of them: the first way in which all of them fit."""


class KeyLine(DrawnPane):
    """What can be done, each word with its key behind it; help lists them all."""

    keys: reactive[tuple[tuple[str, str], ...]] = reactive((), repaint=False)
    """Key as printed on the keyboard, and its word."""

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the words and keys in one row."""
        rows = [self._row(inside, between) for inside, between in WAYS]
        return [next((row for row in rows if row.cell_length <= width), rows[-1])]

    def _row(self, inside: str, between: str) -> Content:
        parts = [
            Content.assemble((word.lower() + inside, "$quiet"), (key, "bold $primary"))
            for key, word in self.keys
        ]
        return Content.assemble(" ", Content.styled(between, "$quiet").join(parts))
