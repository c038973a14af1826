"""A page of text that is written anew after every act, with a sentence about the last one, and its screen."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widget import Widget

from console.panes.key_line import KeyLine
from console.panes.said_pane import Said, SaidPane
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.frames.page_of_text import PageOfText

if TYPE_CHECKING:
    from console.desk import Desk


class ActsPage(Vertical):
    """Title, page, sentence, keys: all that such a screen shows."""

    DEFAULT_CSS = """
    ActsPage #said { height: 1; padding: 0 1; }
    ActsPage #keys { height: 1; background: $panel; }
    """

    def __init__(self, line: Widget | None = None) -> None:
        """Take a line to type on, to stand above the keys; None where there is nothing to type."""
        super().__init__()
        self._line = line

    def compose(self) -> ComposeResult:
        """The page, the last sentence, the line, the keys."""
        yield PageOfText()
        yield SaidPane(id="said")
        if self._line is not None:
            yield self._line
        yield KeyLine(id="keys")

    def write(self, title: str, text: Content) -> None:
        """Write the page anew."""
        self.query_one(PageOfText).write(title, text)

    def turn_back(self) -> None:
        """Show the page from its first row on."""
        self.query_one(PageOfText).turn_back()


class ActsScreen(ConsoleScreen):
    """A screen that is one such page; each has its own `show_page`, which writes it."""

    AUTO_FOCUS = "#page"

    def __init__(self, desk: "Desk") -> None:
        super().__init__()
        self._desk = desk

    def compose(self) -> ComposeResult:
        """The page."""
        yield ActsPage()

    def on_mount(self) -> None:
        """Write the page and name the keys."""
        self.show_page()
        self.show_keys()

    def show_page(self) -> None:
        """Write the page as it is now."""

    def acted(self, said: Said) -> None:
        """Say what an act came to, and the page as it stands with it."""
        self.say(said)
        self.show_page()
