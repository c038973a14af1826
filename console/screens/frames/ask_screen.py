"""One question that takes one line for an answer."""

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from console.panes.entry_line import EntryLine
from console.screens.keys.tables import close_with

HINT = "Enter answers, Esc leaves it"


class AskScreen(ModalScreen[str | None]):
    """Enter answers, Esc leaves everything as it is."""

    CSS_PATH = "ask_screen.tcss"
    AUTO_FOCUS = "#answer"
    BINDINGS = [Binding("escape", "leave", "Back", show=False)]

    def __init__(self, question: str, *, title: str, usual: str = "", opened_by: str = "") -> None:
        super().__init__()
        self._question = question
        self._title = title
        self._usual = usual
        self._opened_by = opened_by

    def compose(self) -> ComposeResult:
        """The question and its line."""
        with Vertical(id="ask-box") as box:
            box.border_title = Content(self._title)
            box.border_subtitle = HINT
            yield Static(self._question, markup=False)
            yield EntryLine(id="answer")

    def on_mount(self) -> None:
        """Offer the usual answer: Enter takes it, the first letter replaces it, an arrow goes into it."""
        close_with(self, self._opened_by)
        self.query_one(EntryLine).offer(self._usual)

    @on(Input.Submitted)
    def answer(self, event: Input.Submitted) -> None:
        """Hand back what was typed, once something was."""
        event.stop()
        if event.value.strip():
            self.dismiss(event.value.strip())

    def action_leave(self) -> None:
        """Answer nothing."""
        self.dismiss(None)
