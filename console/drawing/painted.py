"""What was painted stays painted: a widget that did not change costs nothing when another one does."""

from typing import Self

from textual.containers import Horizontal, Vertical
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget


class Painted(Widget):
    """Keeps its painted lines, borders and all, until something about it changes.

    For one changed line the compositor asks every widget between the first and the last changed row of the
    screen for all of its lines.
    """

    _painted: tuple[Region, list[Strip]] | None = None
    """Which part was painted last, and how; None since something changed."""

    def refresh(
        self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False
    ) -> Self:
        """Have it painted anew."""
        self._painted = None
        return super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)

    def notify_style_update(self) -> None:
        """Paint in the new colours."""
        super().notify_style_update()
        self._painted = None

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return what was painted last, while it holds."""
        if self._painted is None or self._painted[0] != crop:
            self._painted = crop, super().render_lines(crop)
        return self._painted[1]


class Column(Vertical, Painted):
    """Panes one below the other."""


class Row(Horizontal, Painted):
    """Panes side by side."""
