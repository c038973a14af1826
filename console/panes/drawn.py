"""What all drawn panes share: text made from records, redrawn only where it changed."""

from textual.content import Content
from textual.widgets import Static


class DrawnPane(Static):
    """A pane of styled lines. Text from outside is never read as markup."""

    ALLOW_SELECT = False

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes, markup=False)
        self._drawn = Content("")

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the lines for a room of width x height cells. Subclasses say what they show."""
        raise NotImplementedError

    def redraw(self) -> None:
        """Draw again, and repaint only when the outcome differs."""
        room = self.content_size
        if not room.width:
            return
        content = Content("\n").join(self.draw(room.width, room.height))
        if content.is_same(self._drawn):
            return
        self._drawn = content
        self.update(content, layout=False)

    def on_resize(self) -> None:
        """Use the new room."""
        self.redraw()


def cell(text: str, width: int, *, right: bool = False) -> str:
    """Return text cut or padded to exactly `width` characters, with an ellipsis where it was cut.

    >>> cell("austenitic", 6), cell("12.4", 6, right=True)
    ('auste…', '  12.4')
    """
    if len(text) > width:
        text = text[: max(0, width - 1)] + "…" if width > 0 else ""
    return text.rjust(width) if right else text.ljust(width)
