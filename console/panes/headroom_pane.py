"""What the piece at hand would do to its bay: the warning before it uses up the headroom."""

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane


class HeadroomPane(DrawnPane):
    """One row; takes no room while there is nothing to warn of."""

    warning: reactive[str] = reactive("", repaint=False)
    """Bay, element, what it would come to, and what the buyer wants; empty when nothing is at risk."""

    def watch_warning(self) -> None:
        """Show the warning."""
        self.take_rows(1 if self.warning else 0)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the warning."""
        if not self.warning:
            return []
        line = Content.assemble((" BAY ", "bold reverse $warning"), " ", self.warning)
        return [line.truncate(width, ellipsis=True)]
