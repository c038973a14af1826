"""The shots on the piece at hand, drawn from the skin to the core."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from console.ground.figures import many
from console.panes.key_line import KeyLine
from console.panes.piece.series_pane import SeriesPane
from console.panes.piece.skin_warning import lines_for
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.keys.further import SERIES_KEYS

if TYPE_CHECKING:
    from console.desk import Consideration, Desk
    from console.screens.sorting.sorting_screen import SortingScreen


TITLE = "Shots from skin to core"
SHOTS = ("shot", "shots")


class SeriesScreen(ConsoleScreen):
    """The picture, and the warning above it while the core is not reached."""

    CSS_PATH = "series_screen.tcss"
    BINDINGS = SERIES_KEYS

    def __init__(self, considered: "Consideration") -> None:
        super().__init__()
        self._considered = considered

    def compose(self) -> ComposeResult:
        """Warning, picture, keys."""
        yield Static(id="skin", markup=False)
        with Vertical(id="series-box") as box:
            box.border_title = TITLE
            yield SeriesPane(id="series")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Show the piece at hand."""
        verdict, shots = self._considered.verdict, self._considered.parsed.facts.shots
        pane = self.query_one(SeriesPane)
        pane.verdict, pane.shots = verdict, shots
        warning = lines_for(verdict.skin, max(20, self.app.size.width - 2))
        above = self.query_one("#skin", Static)
        above.update(Content("\n").join(warning))
        above.display = bool(warning)
        self.query_one("#series-box").border_subtitle = many(len(shots), *SHOTS)
        self.show_keys()


def opened(_: "Desk", sorting: "SortingScreen") -> SeriesScreen:
    """Return the screen of the piece at hand."""
    return SeriesScreen(sorting.at_hand())
