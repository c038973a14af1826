"""The few keys that matter most, in the last row of a screen."""

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane


class KeyLine(DrawnPane):
    """At most seven keys with a word each; help lists them all."""

    keys: reactive[tuple[tuple[str, str], ...]] = reactive((), repaint=False)
    """Key as printed on the keyboard, and its word."""

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the keys in one row."""
        parts = [Content.assemble((f" {key} ", "bold reverse"), f" {word} ") for key, word in self.keys]
        row = Content("").join(parts)
        if row.cell_length > width:
            parts = [Content.assemble((key, "bold reverse"), f" {word}  ") for key, word in self.keys]
            row = Content(" ") + Content("").join(parts)
        return [row]
