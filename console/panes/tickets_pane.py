"""The scale tickets of the run against its tally."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.panes.drawn import DrawnPane, cell
from console.panes.figures import mass

if TYPE_CHECKING:
    from console.ledger.closeout import Difference
    from console.ledger.rows import Tally, Ticket

NO_TICKETS = (
    "No ticket yet. Type gross and tare below, Enter adds the ticket:",
    "1240 360 blue truck, second load",
)


class TicketsPane(DrawnPane):
    """Tickets one a row, then net, tally, difference and tolerance."""

    tally: reactive["Tally | None"] = reactive(None, repaint=False)
    difference: reactive["Difference | None"] = reactive(None, repaint=False)
    unit: reactive[str] = reactive("kg", repaint=False)

    def on_mount(self) -> None:
        """Name the pane."""
        self.border_title = "Tickets against tally"

    def watch_tally(self) -> None:
        """Show the tickets."""
        self.redraw()

    def watch_difference(self) -> None:
        """Show the sums."""
        self.redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the tickets there is room for, newest kept, and the sums."""
        if self.tally is None or self.difference is None:
            return [Content("")]
        sums = self._sums(width)
        tickets = list(enumerate(self.tally.tickets, start=1))
        if not tickets:
            return [*[Content.styled(line, "$quiet") for line in NO_TICKETS], Content(""), *sums]
        room = max(1, height - len(sums) - 2)
        rows = [row for number, ticket in tickets for row in _ticket_rows(number, ticket, self.unit, width)]
        return [_head(self.unit), *rows[-room:], Content(""), *sums]

    def _sums(self, width: int) -> list[Content]:
        gap = self.difference
        assert gap is not None
        if not gap.has_ticket:
            return [self._sum("tally", gap.tally_g)]
        inside = ("inside", "bold $success") if gap.is_inside else (" OUTSIDE ", "bold reverse $error")
        sign = "+" if gap.difference_g > 0 else ""
        return [
            self._sum("net of tickets", gap.net_g),
            self._sum("tally", gap.tally_g),
            self._sum("difference", gap.difference_g, sign) + Content.assemble("  ", inside),
            self._sum("tolerance", gap.tolerance_g, "±"),
        ]

    def _sum(self, name: str, grams: int, sign: str = "") -> Content:
        return Content.assemble(
            (cell(name, 16), "$quiet"),
            (cell(sign + mass(grams, self.unit), 12, right=True), "bold"),
            f" {self.unit}",
        )


def _head(unit: str) -> Content:
    heads = "".join(cell(f"{name} {unit}", 11, right=True) for name in ("gross", "tare", "net"))
    return Content.styled(cell("no.", 4) + heads, "$quiet")


def _ticket_rows(number: int, ticket: "Ticket", unit: str, width: int) -> list[Content]:
    """Return a ticket with its note beside the figures, or below them where there is no room."""
    figures = "".join(
        cell(mass(grams, unit), 11, right=True) for grams in (ticket.gross_g, ticket.tare_g, ticket.net_g)
    )
    row = cell(str(number), 4) + figures
    if len(row) + 2 + len(ticket.note) <= width:
        return [Content(f"{row}  {ticket.note}".rstrip())]
    return [Content(row), Content.styled(cell("    " + ticket.note, width), "$quiet")]
