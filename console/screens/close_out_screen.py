"""The close-out: tickets in, difference against the tally, closing the run."""

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
from console.screens.bench import attempt
from console.screens.close_out_keys import CLOSE_OUT_KEYS
from console.screens.close_out_steps import CloseOutSteps
from console.screens.ticket_line import TicketLineError, read_ticket_line
from console.screens.tolerance_page import tolerance_page

LINE_HINT = "gross tare  wet2% dirt5kg  @supplier #load  note; Enter adds the ticket"


class CloseOutScreen(CloseOutSteps):
    """Tickets and sums beside the bays; one line for the next ticket."""

    CSS_PATH = "close_out_screen.tcss"
    AUTO_FOCUS = "#ticket-line"
    BINDINGS = CLOSE_OUT_KEYS

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

    def on_screen_resume(self) -> None:
        """The review may have changed the sums."""
        if not self.is_over:
            self.show_sums()

    def show_sums(self) -> None:
        """Reckon tally and difference again and show them."""
        from console.ledger.acts.closeout import difference

        desk = self.bench.desk
        sums = desk.sums()
        self.query_one(BaysPane).tally = sums
        tickets = self.query_one(TicketsPane)
        tickets.tally = sums
        tickets.loads = desk.loads()
        tickets.difference = difference(sums, desk.yard)

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
            self.bench.desk.add_ticket(
                typed.gross,
                typed.tare,
                typed.note,
                moisture=typed.moisture,
                dirt=typed.dirt,
                supplier=typed.supplier,
                load=typed.load,
            )
            whose = f", {typed.supplier} {typed.load}".rstrip(", ")
            return f"ticket added: {typed.gross} gross, {typed.tare} tare{whose}"

        said = attempt(act)
        if not said.is_refusal:
            event.input.clear()
        self.say(said)

    def action_parts(self) -> None:
        """Show what the tolerance is made of."""
        self.app.push_screen(tolerance_page(self.bench.desk))

    def action_undo(self) -> None:
        """Take back the last act."""
        self.say(self.bench.undo())

    def action_redo(self) -> None:
        """Take back the last undo."""
        self.say(self.bench.redo())

    def action_leave(self) -> None:
        """Go back to sorting; the run stays open."""
        self.dismiss(None)
