"""The few keys that matter most, in the last row of a screen."""

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane

BETWEEN = (" · ", "  ", " ")
"""What stands between two, the first that all of them fit with."""


class KeyLine(DrawnPane):
    """What can be done, each with its key behind it; help lists them all."""

    keys: reactive[tuple[tuple[str, str], ...]] = reactive((), repaint=False)
    """Key as printed on the keyboard, and its word."""

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the words and keys in one row."""
        parts = [
            Content.assemble((f"{word.lower()} ", "$quiet"), (key, "bold $primary")) for key, word in self.keys
        ]
        rows = [Content.assemble(" ", Content.styled(between, "$quiet").join(parts)) for between in BETWEEN]
        return [next((row for row in rows if row.cell_length <= width), rows[-1])]
