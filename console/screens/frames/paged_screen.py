"""A page of text that is written anew after every act, with a sentence about the last one below it."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from console.panes.key_line import KeyLine
from console.panes.said_pane import Said, SaidPane
from console.screens.frames.ask_screen import AskScreen
from console.screens.frames.bench import attempt
from console.screens.frames.console_screen import ConsoleScreen

if TYPE_CHECKING:
    from console.screens.frames.bench import Bench


class PagedScreen(ConsoleScreen[None]):
    """Title, page, sentence, keys; subclasses say what stands on the page and what the keys do."""

    CSS_PATH = Path(__file__).with_name("paged_screen.tcss")
    AUTO_FOCUS = "#page"

    def __init__(self, bench: "Bench") -> None:
        super().__init__()
        self.bench = bench

    def page(self) -> tuple[str, Content]:
        """Return title and text as they are now. Subclasses say so."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """The page, the last sentence, the keys."""
        yield Static(id="title", markup=False)
        with VerticalScroll(id="page"):
            yield Static(id="text", markup=False)
        yield SaidPane(id="said")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Write the page and name the keys."""
        self.show_page()
        self.show_keys()

    def show_page(self) -> None:
        """Write the page anew."""
        title, text = self.page()
        self.query_one("#title", Static).update(Content.styled(title, "bold $primary"), layout=False)
        self.query_one("#text", Static).update(text)

    def say(self, said: Said) -> None:
        """Show one sentence until the next, and the page as it is now."""
        self.query_one(SaidPane).said = said
        self.show_page()

    def do(self, act: Callable[[], str]) -> None:
        """Do an act at the desk and say what came of it."""
        self.say(attempt(act))

    def ask(self, question: str, title: str, then: Callable[[str], None], *, usual: str = "") -> None:
        """Ask for one line; nothing happens where nothing is answered."""

        def answered(text: str | None) -> None:
            if text:
                then(text)

        self.app.push_screen(AskScreen(question, title=title, usual=usual), answered)

    def action_undo(self) -> None:
        """Take back the last act."""
        self.say(self.bench.undo())

    def action_leave(self) -> None:
        """Go back to sorting."""
        self.dismiss(None)
