"""The yardstick of the cold start: a Textual app with three empty panes and a footer, nothing else."""

from textual.app import App, ComposeResult
from textual.containers import Horizontal
from textual.widgets import Footer, Input, Static


class EmptyApp(App[None]):
    """Three panes that say nothing."""

    CSS = "Static { border: round grey; height: 1fr; width: 1fr; }"
    BINDINGS = [("f1", "help", "Help"), ("f2", "bay", "Bay"), ("ctrl+q", "quit", "Quit")]

    def compose(self) -> ComposeResult:
        """A line, two panes, the keys."""
        yield Input(id="line")
        with Horizontal():
            yield Static("one")
            yield Static("two")
        yield Footer()

    def on_mount(self) -> None:
        """Keep the cursor still: a blinking one paints all the time."""
        self.query_one(Input).cursor_blink = False


if __name__ == "__main__":
    EmptyApp().run(mouse=False)
