"""The next step of the tour."""

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane

TOUR, PRACTICE = "TOUR", "PRACTICE"
ROWS = 3


class TourPane(DrawnPane):
    """Takes no room while no tour is on, and a second row only for a long step."""

    head: reactive[str] = reactive(TOUR, repaint=False)
    """What is on: the tour, or practice."""
    step: reactive[str] = reactive("", repaint=False)
    """What to try now; empty for no tour."""

    def watch_step(self) -> None:
        """Show the step, or give the rows back."""
        self.take_rows(min(ROWS, len(self._wrapped(max(20, self.app.size.width - 2)))) if self.step else 0)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the step."""
        return self._wrapped(width)

    def _wrapped(self, width: int) -> list[Content]:
        return Content.assemble((f" {self.head} ", "bold reverse $secondary"), " ", self.step).wrap(width)
