"""The cautions that stand with the piece at hand."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane

if TYPE_CHECKING:
    from grade_library.cautions import Caution

LEVEL_STYLES = {"STOP": "bold reverse $error", "WARN": "bold reverse $warning", "NOTE": "bold"}
ROWS = 3


class CautionsPane(DrawnPane):
    """Strongest first; takes no room while there is nothing to say."""

    cautions: reactive[tuple["Caution", ...]] = reactive((), repaint=False)
    """What to say, strongest first."""

    def watch_cautions(self) -> None:
        """Make room for as many rows as are needed."""
        rows = min(ROWS, len(self.lines_for(max(20, self.app.size.width - 2))))
        self.take_rows(rows)
        self.redraw()

    def lines_for(self, width: int) -> list[Content]:
        """Return every caution, wrapped to the width."""
        lines: list[Content] = []
        for caution in self.cautions:
            level = str(caution.level).upper()
            lines += Content.assemble((f" {level} ", LEVEL_STYLES.get(level, "bold")), " ", caution.say).wrap(
                width
            )
        return lines

    def draw(self, width: int, height: int) -> list[Content]:
        """Return what there is room for; the last row says when there is more."""
        lines = self.lines_for(width)
        if len(lines) <= height:
            return lines
        more = "  all: ^O"
        return [
            *lines[: height - 1],
            lines[height - 1].truncate(width - len(more), ellipsis=True) + Content(more),
        ]
