"""The line that narrows the review to what is typed."""

from collections.abc import Callable

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input, Static

from console.panes.entry_line import EntryLine

FILTER = "Filter: "


class FilterBox(Horizontal):
    """Out of sight until something is looked for."""

    def __init__(self, narrow: Callable[[str], None], leave: Callable[[], object]) -> None:
        """Begin out of sight.

        Args:
            narrow: Gets what is typed, key by key.
            leave: Takes the keys back.
        """
        super().__init__(id="filter-box")
        self.display = False
        self._line = EntryLine(id="filter")
        self._narrow, self._leave = narrow, leave

    def compose(self) -> ComposeResult:
        """The word and the line."""
        yield Static(FILTER, id="filter-name", markup=False)
        yield self._line

    def on_mount(self) -> None:
        """Narrow key by key."""
        self.watch(self._line, "value", self._narrow, init=False)

    def begin(self) -> None:
        """Begin to type what to look for."""
        self.display = True
        # At once: Widget.focus() waits its turn, and the letters of a burst would go to the list as keys.
        self.screen.set_focus(self._line)

    @on(Input.Submitted)
    def keep(self, event: Input.Submitted) -> None:
        """Go back to the list, narrowed as it is."""
        event.stop()
        self._leave()
        if not event.value.strip():
            self.end()

    def end(self) -> None:
        """Show every piece again."""
        self._line.clear()
        self.display = False
        self._leave()
