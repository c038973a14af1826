"""The close-out: tickets in, difference against the tally, closing the run."""

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from console.desk.ticket_line import read_ticket_line
from console.ground.errors import BaywrightError
from console.panes.entry_line import EntryLine
from console.panes.key_line import KeyLine
from console.panes.run.bays_pane import BaysPane
from console.panes.run.tickets_pane import TicketsPane
from console.panes.said_pane import Said, SaidPane
from console.screens.close_out.steps import CloseOutSteps
from console.screens.close_out.tolerance_page import tolerance_page
from console.screens.frames.acting import attempt, refused
from console.screens.frames.console_screen import ConsoleScreen
from console.screens.frames.text_screen import TextScreen
from console.screens.keys.close_out import CLOSE_OUT_KEYS
from console.screens.review.review_screen import ReviewScreen

if TYPE_CHECKING:
    from console.desk import Desk

LINE_HINT = "gross tare  wet2% dirt5kg  from NAME load 7; note    Enter adds the ticket"
TOTALS_TITLE = "Totals of run {run}, bay by bay"
TOTALS_WIDTH = 78
"""Columns, so that the page is whole with its margins on the smallest screen."""


class CloseOutScreen(ConsoleScreen):
    """Tickets and sums beside the bays; one line for the next ticket."""

    CSS_PATH = "close_out_screen.tcss"
    AUTO_FOCUS = "#ticket-line"
    BINDINGS = CLOSE_OUT_KEYS

    def __init__(self, desk: "Desk") -> None:
        super().__init__()
        self._desk = desk
        self._steps = CloseOutSteps(self, desk)
        self._tickets = TicketsPane(id="tickets")
        self._bays = BaysPane(id="bays")
        self.is_over = False
        """The run is closed; there are no sums of an open run to show any more."""

    def compose(self) -> ComposeResult:
        """Bays and tickets, the ticket line, the last sentence, keys."""
        with Horizontal(id="sums"):
            yield self._tickets
            yield self._bays
        with Vertical(id="ticket-box") as box:
            box.border_title = "Ticket"
            yield EntryLine(id="ticket-line")
            yield Static(Content.styled(LINE_HINT, "$quiet"), markup=False)
        yield SaidPane(id="said")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Show the sums as they stand."""
        self._bays.yard = self._desk.yard
        self._tickets.unit = self._desk.yard.weight_unit
        self.show_sums()
        self.show_keys()

    def on_screen_resume(self) -> None:
        """The review may have changed the sums."""
        self.show_sums()

    def show_sums(self) -> None:
        """Reckon tally and difference again and show them."""
        if not self.is_over:
            self._bays.tally = self._tickets.tally = self._desk.sums()
            self._tickets.loads = self._desk.closing.loads()
            self._tickets.difference = self._desk.closing.difference()

    def acted(self, said: Said) -> None:
        """Say what an act came to, and show the sums as they are now."""
        self.say(said)
        self.show_sums()

    @on(Input.Submitted, "#ticket-line")
    def add_ticket(self, event: Input.Submitted) -> None:
        """Add the ticket on the line."""
        try:
            typed = read_ticket_line(event.value)
        except BaywrightError as why:
            self.say(refused(why))
            return
        add = self._desk.closing.add_ticket
        self.acted(attempt(lambda: add(typed), lambda _: event.input.clear()))

    def action_close_run(self) -> None:
        """Close the run, step by step."""
        self._steps.begin()

    def action_holds(self) -> None:
        """Show the pieces on hold in the review, to resolve them."""
        self.app.push_screen(ReviewScreen(self._desk))

    def action_totals(self) -> None:
        """Show what the run came to, bay by bay."""
        title = TOTALS_TITLE.format(run=self._desk.run().run_id)
        text = Content(self._desk.closing.totals(TOTALS_WIDTH).rstrip())
        self.app.push_screen(TextScreen(title, text, opened_by="close-out-totals"))

    def action_parts(self) -> None:
        """Show what the tolerance is made of."""
        self.app.push_screen(tolerance_page(self._desk))
