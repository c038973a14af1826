"""What must not be missed of the piece at hand: a skin that the reading is of, and cautions."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane
from console.panes.piece import skin_pane

if TYPE_CHECKING:
    from grade_library.cautions import Caution
    from grade_library.verdict import SkinVerdict

LEVEL_STYLES = {"STOP": "bold reverse $error", "WARN": "bold reverse $warning", "NOTE": "bold"}
CAUTION_ROWS = 4
"""At most so many at 80x24: the longest caution has its title and every word there."""
ROWS = skin_pane.ROWS + CAUTION_ROWS


class WarningsPane(DrawnPane):
    """Lies over the last rows of the panes beneath it, out of sight until there is something to say.

    It is moved and never resized: panes that gave it room would have to be laid out and painted anew, in the
    middle of a word. A row once taken is kept while the line stands, so that nothing jumps.
    """

    key: reactive[str] = reactive("", repaint=False)
    """Key that shows the cautions in full, as printed on the keyboard."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._skin: SkinVerdict | None = None
        self._cautions: tuple[Caution, ...] = ()
        self._width = self._skin_rows = self._caution_rows = 0

    @property
    def rows(self) -> int:
        """Rows that it lies over."""
        return self._skin_rows + self._caution_rows

    def say(self, skin: "SkinVerdict | None", cautions: tuple["Caution", ...]) -> None:
        """Say what is to be said of the line as it is now.

        Args:
            skin: What the readings say of a skin; None where they were not looked at for one.
            cautions: Strongest first.
        """
        width = max(20, self.app.size.width - 2)
        if skin is self._skin and cautions == self._cautions and width == self._width:
            return
        self._skin, self._cautions, self._width = skin, cautions, width
        caution_rows = max(self._caution_rows, min(CAUTION_ROWS, len(_in_full(cautions, width))))
        skin_rows = len(skin_pane.lines_for(skin, width, ROWS - caution_rows))
        self._take(min(max(skin_rows, self._skin_rows), ROWS - caution_rows), caution_rows)

    def fall_silent(self) -> None:
        """Give the rows back: the line is blank."""
        self._skin, self._cautions = None, ()
        self._take(0, 0)

    def _take(self, skin_rows: int, caution_rows: int) -> None:
        self._skin_rows, self._caution_rows = skin_rows, caution_rows
        below = ROWS - self.rows
        if self.styles.offset.y.value != below:
            self.styles.offset = (0, below)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the skin above the cautions, each where it began."""
        skin = skin_pane.lines_for(self._skin, width, ROWS - self._caution_rows)
        skin += [Content("")] * (self._skin_rows - len(skin))
        return skin + self._caution_lines(width, self._caution_rows)

    def _caution_lines(self, width: int, height: int) -> list[Content]:
        """Return every caution where there is room; else the first one, and the titles of the others."""
        lines = _in_full(self._cautions, width)
        if len(lines) <= height:
            return lines
        first, *others = self._cautions
        more = Content(f"  in full: {self.key}")
        told = Content.assemble(_head(first), ": ", first.say).wrap(width)
        if not others:
            return [
                *told[: height - 1],
                told[height - 1].truncate(width - more.cell_length, ellipsis=True) + more,
            ]
        titles = Content("  ").join([_head(caution) for caution in others])
        return [*told[: height - 1], titles.truncate(width - more.cell_length, ellipsis=True) + more]


def _in_full(cautions: tuple["Caution", ...], width: int) -> list[Content]:
    """Return every caution with its title, wrapped to the width."""
    lines: list[Content] = []
    for caution in cautions:
        lines += Content.assemble(_head(caution), ": ", caution.say).wrap(width)
    return lines


def _head(caution: "Caution") -> Content:
    level = str(caution.level).upper()
    return Content.assemble((f" {level} ", LEVEL_STYLES.get(level, "bold")), (f" {caution.title}", "bold"))
