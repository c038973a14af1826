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
from console.panes.piece.strips_pane import StripsPane
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.keys.further import SERIES_KEYS

if TYPE_CHECKING:
    from console.desk import Consideration, Desk
    from console.screens.sorting.sorting_screen import SortingScreen
    from grade_library.reading import Averaged


TITLE = "Shots from skin to core"
SHOTS = ("shot", "shots")


class SeriesScreen(ConsoleScreen):
    """The picture, the warning above it while the core is not reached, and the limits of the likeliest core
    where there is room."""

    CSS_PATH = "series_screen.tcss"
    BINDINGS = SERIES_KEYS
    VERTICAL_BREAKPOINTS = [(0, "-short"), (29, "-tall")]

    def __init__(self, considered: "Consideration", readings: "tuple[Averaged, ...]") -> None:
        super().__init__()
        self._considered = considered
        self._readings = readings

    def compose(self) -> ComposeResult:
        """Warning, picture, keys."""
        yield Static(id="skin", markup=False)
        with Vertical(id="series-box") as box:
            box.border_title = TITLE
            yield SeriesPane(id="series")
            yield StripsPane(id="core-limits")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Show the piece at hand."""
        verdict, shots = self._considered.verdict, self._considered.parsed.facts.shots
        pane = self.query_one(SeriesPane)
        pane.verdict, pane.shots = verdict, shots
        limits = self.query_one(StripsPane)
        limits.readings = self._readings
        limits.candidate = verdict.leading.members[0] if verdict.leading else None
        warning = lines_for(verdict.skin, max(20, self.app.size.width - 2))
        above = self.query_one("#skin", Static)
        above.update(Content("\n").join(warning))
        above.display = bool(warning)
        self.query_one("#series-box").border_subtitle = many(len(shots), *SHOTS)
        self.show_keys()


def opened(desk: "Desk", sorting: "SortingScreen") -> SeriesScreen:
    """Return the screen of the piece at hand."""
    considered = sorting.at_hand()
    return SeriesScreen(considered, desk.piece.readings(considered))
