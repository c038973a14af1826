"""What is shown while the terminal is too small for the screens."""

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Static

LEAST_WIDTH, LEAST_HEIGHT = 80, 24
TOO_SMALL = "Too small: {width} x {height}. Make the terminal 80 x 24 or larger. What you typed is kept."


class TooSmallScreen(ModalScreen[None]):
    """A sentence in the middle; everything below it stays as it was."""

    CSS = """
    TooSmallScreen { align: center middle; background: $background; }
    TooSmallScreen Static { width: 100%; text-align: center; }
    """

    def compose(self) -> ComposeResult:
        """The sentence."""
        yield Static(id="too-small", markup=False)

    def on_resize(self, event: events.Resize) -> None:
        """Say how large it is now."""
        width, height = event.size
        self.query_one(Static).update(TOO_SMALL.format(width=width, height=height))
