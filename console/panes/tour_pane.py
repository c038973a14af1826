"""The next step of the tour, in one row."""

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane


class TourPane(DrawnPane):
    """Takes no room while no tour is on."""

    step: reactive[str] = reactive("", repaint=False)
    """What to try now; empty for no tour."""

    def watch_step(self) -> None:
        """Show the step, or give the row back."""
        self.take_rows(1 if self.step else 0)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the row."""
        return [Content.assemble((" TOUR ", "bold reverse $secondary"), " ", self.step).truncate(width)]
