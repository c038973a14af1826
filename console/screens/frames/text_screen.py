"""A page of text to read and to scroll."""

from pathlib import Path

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.content import Content

from console.panes.key_line import KeyLine
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.frames.page_of_text import PageOfText
from console.screens.keys.tables import close_with


class TextScreen(ConsoleScreen):
    """Title, text, keys; the arrows scroll, Esc leads back."""

    CSS_PATH = Path(__file__).with_name("text_screen.tcss")
    AUTO_FOCUS = "#page"
    more_keys = (("PgDn", "Page down"), ("PgUp", "Page up"))
    BINDINGS = [
        Binding("escape", "leave", "Back", tooltip="back to where you were; Enter does the same"),
        Binding("enter", "leave", "Back", show=False),
        Binding("space", "page_down", "On", show=False, tooltip="one page on, as PgDn; PgUp one page back"),
    ]

    def __init__(self, title: str, text: Content, *, opened_by: str = "") -> None:
        super().__init__()
        self._title = title
        self._text = text
        self._opened_by = opened_by

    def compose(self) -> ComposeResult:
        """The page and the keys."""
        yield PageOfText(self._title, self._text)
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Name the keys."""
        close_with(self, self._opened_by)
        self.show_keys()

    def action_page_down(self) -> None:
        """Go on one page."""
        self.query_one("#page", VerticalScroll).scroll_page_down(animate=False)
