"""What must not be missed of the piece at hand: a skin that the reading is of, and cautions."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes import skin_pane
from console.panes.drawn import DrawnPane

if TYPE_CHECKING:
    from grade_library.cautions import Caution
    from grade_library.verdict import Verdict

LEVEL_STYLES = {"STOP": "bold reverse $error", "WARN": "bold reverse $warning", "NOTE": "bold"}
CAUTION_ROWS = 4
"""At most so many at 80x24: the longest caution has its title and every word there."""
ROWS = skin_pane.ROWS + CAUTION_ROWS


class WarningsPane(DrawnPane):
    """Lies over the last rows of the panes beneath it, out of sight until there is something to say.

    It is moved and never resized: panes that gave it room would have to be laid out and painted anew, in the
    middle of a word. A row once taken is kept while the line stands, so that nothing jumps.
    """

    verdict: reactive["Verdict | None"] = reactive(None, repaint=False)
    """What the piece can be; None before anything is known."""

    cautions: reactive[tuple["Caution", ...]] = reactive((), repaint=False)
    """What to say, strongest first."""

    key: reactive[str] = reactive("", repaint=False)
    """Key that shows the cautions in full, as printed on the keyboard."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._skin_rows = self._caution_rows = 0

    @property
    def rows(self) -> int:
        """Rows that it lies over."""
        return self._skin_rows + self._caution_rows

    def show(self, verdict: "Verdict | None", cautions: tuple["Caution", ...], *, is_blank: bool) -> None:
        """Say what is to be said of a line; a blank one gives the rows back."""
        self.verdict, self.cautions = verdict, cautions
        width = max(20, self.app.size.width - 2)
        skin = len(skin_pane.lines_for(verdict, width))
        caution = min(CAUTION_ROWS, len(_in_full(cautions, width)))
        self._skin_rows = 0 if is_blank else max(skin, self._skin_rows)
        self._caution_rows = 0 if is_blank else max(caution, self._caution_rows)
        if self.styles.offset.y.value != ROWS - self.rows:
            self.styles.offset = (0, ROWS - self.rows)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the skin above the cautions, each where it began."""
        skin = skin_pane.lines_for(self.verdict, width)
        skin += [Content("")] * (self._skin_rows - len(skin))
        return skin + self._caution_lines(width, self._caution_rows)

    def _caution_lines(self, width: int, height: int) -> list[Content]:
        """Return every caution where there is room; else the first one, and the titles of the others."""
        lines = _in_full(self.cautions, width)
        if len(lines) <= height:
            return lines
        first, *others = self.cautions
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
