"""The cautions that stand with the piece at hand."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane

if TYPE_CHECKING:
    from grade_library.cautions import Caution

LEVEL_STYLES = {"STOP": "bold reverse $error", "WARN": "bold reverse $warning", "NOTE": "bold"}
ROWS = 4
"""At most so many at 80x24: the longest caution has its title and every word there."""


class CautionsPane(DrawnPane):
    """Strongest first; takes no room until there is something to say, and keeps it while the line stands."""

    cautions: reactive[tuple["Caution", ...]] = reactive((), repaint=False)
    """What to say, strongest first."""

    key: reactive[str] = reactive("", repaint=False)
    """Key that shows them in full, as printed on the keyboard."""

    def watch_cautions(self) -> None:
        """Make room for as many rows as are needed."""
        rows = min(ROWS, len(self.lines_for(max(20, self.app.size.width - 2))))
        self.keep_rows(rows)
        self.redraw()

    def lines_for(self, width: int) -> list[Content]:
        """Return every caution with its title, wrapped to the width."""
        lines: list[Content] = []
        for caution in self.cautions:
            lines += Content.assemble(_head(caution), ": ", caution.say).wrap(width)
        return lines

    def draw(self, width: int, height: int) -> list[Content]:
        """Return every caution where there is room; else the first one, and the titles of the others."""
        lines = self.lines_for(width)
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


def _head(caution: "Caution") -> Content:
    level = str(caution.level).upper()
    return Content.assemble((f" {level} ", LEVEL_STYLES.get(level, "bold")), (f" {caution.title}", "bold"))
