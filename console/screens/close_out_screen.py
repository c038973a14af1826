"""The close-out: tickets in, difference against the tally, closing the run."""

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from console.panes.bays_pane import BaysPane
from console.panes.entry_line import EntryLine
from console.panes.key_line import KeyLine
from console.panes.said_pane import Said, SaidPane
from console.panes.tickets_pane import TicketsPane
from console.screens.ask_screen import AskScreen
from console.screens.bench import attempt, refusals
from console.screens.close_out_keys import CLOSE_OUT_KEYS
from console.screens.console_screen import ConsoleScreen
from console.screens.run_closed import RunClosed
from console.screens.ticket_line import TicketLineError, read_ticket_line

if TYPE_CHECKING:
    from console.screens.bench import Bench

LINE_HINT = "gross, tare and a note if need be; Enter adds the ticket. F8 closes the run."
EXPLAIN_TITLE = "Before the run closes"


class CloseOutScreen(ConsoleScreen[None]):
    """Tickets and sums beside the bays; one line for the next ticket."""

    CSS_PATH = "close_out_screen.tcss"
    AUTO_FOCUS = "#ticket-line"
    BINDINGS = CLOSE_OUT_KEYS

    def __init__(self, bench: "Bench") -> None:
        super().__init__()
        self.bench = bench

    def compose(self) -> ComposeResult:
        """Bays and tickets, the ticket line, the last sentence, keys."""
        with Horizontal(id="sums"):
            yield TicketsPane(id="tickets")
            yield BaysPane(id="bays")
        with Vertical(id="ticket-box") as box:
            box.border_title = "Ticket"
            yield EntryLine(id="ticket-line")
            yield Static(Content.styled(LINE_HINT, "$quiet"), markup=False)
        yield SaidPane(id="said")
        yield KeyLine(id="keys")

    def on_mount(self) -> None:
        """Show the sums as they stand."""
        yard = self.bench.desk.yard
        self.query_one(BaysPane).yard = yard
        self.query_one(TicketsPane).unit = yard.weight_unit
        self.show_sums()
        self.show_keys()

    def show_sums(self) -> None:
        """Reckon tally and difference again and show them."""
        from console.ledger.closeout import difference

        sums = self.bench.desk.sums()
        self.query_one(BaysPane).tally = sums
        tickets = self.query_one(TicketsPane)
        tickets.tally = sums
        tickets.difference = difference(sums, self.bench.desk.yard)

    def say(self, said: Said) -> None:
        """Show one sentence until the next, and the sums as they are now."""
        self.query_one(SaidPane).said = said
        self.show_sums()

    @on(Input.Submitted, "#ticket-line")
    def add_ticket(self, event: Input.Submitted) -> None:
        """Add the ticket on the line."""
        event.stop()
        try:
            typed = read_ticket_line(event.value)
        except TicketLineError as error:
            self.say(Said(str(error), is_refusal=True))
            return

        def act() -> str:
            self.bench.desk.add_ticket(typed.gross, typed.tare, typed.note)
            return f"ticket added: {typed.gross} gross, {typed.tare} tare"

        said = attempt(act)
        if not said.is_refusal:
            event.input.clear()
        self.say(said)

    def action_close_run(self, explanation: str = "") -> None:
        """Close the run; where the desk wants words first, ask for them."""
        try:
            handover = self.bench.desk.close_out(explanation)
        except refusals() as refusal:
            self._ask_for_words(str(refusal), explanation)
            return
        self.app.post_message(RunClosed(handover))

    def _ask_for_words(self, wanted: str, explanation: str) -> None:
        def explained(text: str | None) -> None:
            if text:
                self.action_close_run(text)

        self.query_one(SaidPane).said = Said(wanted, is_refusal=True)
        self.app.push_screen(AskScreen(wanted, title=EXPLAIN_TITLE, usual=explanation), explained)

    def action_undo(self) -> None:
        """Take back the last act."""
        self.say(self.bench.undo())

    def action_redo(self) -> None:
        """Take back the last undo."""
        self.say(self.bench.redo())

    def action_leave(self) -> None:
        """Go back to sorting; the run stays open."""
        self.dismiss(None)
