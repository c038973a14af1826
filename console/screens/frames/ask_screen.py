"""One question that takes one line for an answer."""

from collections.abc import Callable
from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from console.ground.errors import BaywrightError
from console.panes.entry_line import EntryLine
from console.screens.keys.sorting import NEXT_READING
from console.screens.keys.tables import close_with, key_names

HINT = "Enter answers, Esc leaves it"
NOTHING_TYPED = "type an answer and Enter, or Esc leaves it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offers:
    """What waits to be put onto the line, one after the other."""

    put: Callable[[str], str]
    """Gets the line, gives it with the next one; raises why it cannot be."""
    says: Callable[[], str]
    """What waits and which is next, in a sentence; {key} stands for the key."""


class AskScreen(ModalScreen[str | None]):
    """Enter answers, Esc leaves everything as it is."""

    CSS_PATH = "ask_screen.tcss"
    AUTO_FOCUS = "#answer"
    BINDINGS = [
        Binding("escape", "leave", "Back", show=False),
        Binding(NEXT_READING.key, "put_next", show=False, id=NEXT_READING.id),
    ]

    def __init__(
        self,
        question: str,
        *,
        title: str,
        usual: str = "",
        opened_by: str = "",
        offers: Offers | None = None,
    ) -> None:
        super().__init__()
        self._question = question
        self._title = title
        self._usual = usual
        self._opened_by = opened_by
        self._offers = offers

    def compose(self) -> ComposeResult:
        """The question and its line."""
        with Vertical(id="ask-box") as box:
            box.border_title = Content(self._title)
            box.border_subtitle = HINT
            yield Static(self._question, markup=False)
            yield EntryLine(id="answer")
            if self._offers is not None:
                yield Static(id="offered", markup=False)

    def on_mount(self) -> None:
        """Offer the usual answer: Enter takes it, the first letter replaces it, an arrow goes into it."""
        close_with(self, self._opened_by)
        self.query_one(EntryLine).offer(self._usual)
        if self._offers is not None:
            self._tell_offered(self._offers.says())

    @on(Input.Submitted)
    def answer(self, event: Input.Submitted) -> None:
        """Hand back what was typed, once something was."""
        event.stop()
        if event.value.strip():
            self.dismiss(event.value.strip())
        else:
            self.query_one("#ask-box").border_subtitle = NOTHING_TYPED

    def action_put_next(self) -> None:
        """Put the next one that waits onto the line; where it cannot be, say why."""
        if self._offers is None:
            return
        line = self.query_one(EntryLine)
        try:
            line.put(self._offers.put(line.value))
        except BaywrightError as why:
            self._tell_offered(str(why))
        else:
            self._tell_offered(self._offers.says())

    def _tell_offered(self, said: str) -> None:
        key = key_names(self.app)[NEXT_READING.id or ""]
        self.query_one("#offered", Static).update(said.replace("{key}", key))

    def action_leave(self) -> None:
        """Answer nothing."""
        self.dismiss(None)
