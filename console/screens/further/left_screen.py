"""What was left for whoever takes over; it comes back until they say that they have seen it."""

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input

from console.desk.piece.next_question import SEEN
from console.panes.entry_line import EntryLine
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt
from console.screens.frames.acts_page import ActsPage
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.frames.page_of_text import PageOfText
from console.screens.keys.further import LEFT_KEYS
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

TITLE = "What was left for {person}"
HERE = "seen, or a piece"
SAY_SEEN = "Read it, then type seen and Enter. Esc leaves it for later; it comes back until then."


class LeftScreen(ConsoleScreen):
    """A page to read and a line to say so on; whatever else is typed there is a line typed ahead."""

    CSS_PATH = "left_screen.tcss"
    AUTO_FOCUS = "#seen-line"
    BINDINGS = LEFT_KEYS

    def __init__(self, desk: "Desk", sorting: "SortingScreen") -> None:
        super().__init__()
        self._desk = desk
        self._sorting = sorting

    def compose(self) -> ComposeResult:
        """The page, with the line above its keys."""
        yield ActsPage(EntryLine(placeholder=HERE, id="seen-line"))

    def on_mount(self) -> None:
        """Write the page."""
        text = self._desk.left.text(max(60, self.app.size.width - 2))
        self.query_one(ActsPage).write(TITLE.format(person=self._desk.person), Content(text))
        self.say(Said(SAY_SEEN, is_prompt=True))
        self.show_keys()

    @on(Input.Submitted, "#seen-line")
    def answer(self, event: Input.Submitted) -> None:
        """Take "seen"; a line that was meant for a piece is entered, as any that is typed ahead."""
        event.stop()
        typed = event.value.strip()
        if typed.casefold() == SEEN:
            self._sorting.acted(attempt(self._desk.left.see))
            self.dismiss(None)
        elif typed:
            line = f"{self._sorting.line.value}{event.value}"
            self.action_leave()
            self._sorting.line.put(line)
            self._sorting.entering.enter(line)

    def action_page(self, by: int) -> None:
        """Scroll by a page."""
        self.query_one(PageOfText).turn(by)

    def action_leave(self) -> None:
        """Go to the line; it comes back at the next start."""
        if self._desk.left.is_due:
            self._sorting.say(Said(words.NOT_SEEN.format(key=self._sorting.key_names), is_news=True))
        self.dismiss(None)


def opened(desk: "Desk", sorting: "SortingScreen") -> LeftScreen:
    """Return the screen over sorting."""
    return LeftScreen(desk, sorting)
