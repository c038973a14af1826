"""What all drawn panes share: lines made from records, of which only those that changed are painted again."""

from typing import Any

from rich.segment import Segment
from rich.style import Style as RichStyle
from textual.content import Content
from textual.geometry import Region
from textual.reactive import reactive
from textual.strip import Strip
from textual.style import Style

from console.drawing.painted import Painted


class DrawnPane(Painted):
    """A pane of styled lines. Text from outside is never read as markup.

    Painting by line keeps a key press cheap: on the sorting screen most of the lines stay as they were.
    """

    ALLOW_SELECT = False

    covered: reactive[int] = reactive(0, repaint=False)
    """Rows at its foot that another pane lies over: nothing is drawn there."""

    def __init_subclass__(cls, **options: Any) -> None:
        """Let a change of any reactive draw the pane again, where the pane says nothing else of it."""
        super().__init_subclass__(**options)
        for name in [name for name, value in vars(cls).items() if isinstance(value, reactive)]:
            if not hasattr(cls, f"watch_{name}"):
                setattr(cls, f"watch_{name}", lambda pane: pane.redraw())

    def watch_covered(self) -> None:
        """Use the rows that are left."""
        self.redraw()

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes, markup=False)
        self._lines: list[Content] = []
        self._strips: list[Strip] = []
        self._rich_styles: dict[Style, RichStyle] = {}

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the lines for a room of width x height cells. Subclasses say what they show."""
        raise NotImplementedError

    def redraw(self) -> None:
        """Draw again; repaint only the lines that differ."""
        width, height = self.size
        if not width or not height:
            return
        room = max(0, height - self.covered)
        lines = self.draw(width, room)[:room] if room else []
        lines += [Content("")] * (height - len(lines))
        if len(lines) != len(self._lines):
            self._lines = lines
            self._strips = [self._strip(line, width) for line in lines]
            self.refresh()
            return
        changed = [row for row, line in enumerate(lines) if not line.is_same(self._lines[row])]
        for row in changed:
            self._lines[row] = lines[row]
            self._strips[row] = self._strip(lines[row], width)
        if changed:
            self.refresh(*[Region(0, row, width, 1) for row in changed])

    def take_rows(self, rows: int) -> None:
        """Take just so many rows of the screen, none for 0; a new layout follows only from a change."""
        taken = int(self.styles.height.value) if self.styles.height and self.display else 0
        if rows == taken:
            return
        self.display = rows > 0
        self.styles.height = rows

    def render_line(self, y: int) -> Strip:
        """Return one line as it was drawn."""
        if y < len(self._strips):
            return self._strips[y]
        return Strip.blank(self.size.width, self.visual_style.rich_style)

    def on_resize(self) -> None:
        """Use the new room."""
        self._start_afresh()

    def notify_style_update(self) -> None:
        """Draw in the new colours."""
        super().notify_style_update()
        self._start_afresh()

    def _start_afresh(self) -> None:
        self._rich_styles.clear()
        self._lines = []
        self._strips = []
        if self.is_mounted:
            self.redraw()

    def _strip(self, line: Content, width: int) -> Strip:
        base = self.visual_style
        segments = []
        for text, style in line.render(base, end="", parse_style=self.app.stylesheet.parse_style):
            rich_style = self._rich_styles.get(style)
            if rich_style is None:
                rich_style = self._rich_styles[style] = style.rich_style
            segments.append(Segment(text, rich_style))
        return Strip(segments).adjust_cell_length(width, base.rich_style)


def cell(text: str, width: int, *, right: bool = False) -> str:
    """Return text cut or padded to exactly `width` characters, with an ellipsis where it was cut.

    >>> cell("austenitic", 6), cell("12.4", 6, right=True)
    ('auste…', '  12.4')
    """
    if len(text) > width:
        text = text[: max(0, width - 1)] + "…" if width > 0 else ""
    return text.rjust(width) if right else text.ljust(width)


def whole_words(text: str, width: int) -> str:
    """Return text in exactly `width` characters, cut behind a word where one fits, else within the first.

    >>> whole_words("copper bright", 14), whole_words("iron and steel", 10), whole_words("austenitic", 6)
    ('copper bright ', 'iron and… ', 'auste…')
    """
    if len(text) <= width:
        return text.ljust(width)
    kept = text[: max(0, width)].rpartition(" ")[0].rstrip(" ,;:")
    return f"{kept}…".ljust(width) if kept else cell(text, width)
