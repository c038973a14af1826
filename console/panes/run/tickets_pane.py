"""The scale tickets of the run against its tally."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.at_rest import shown_at_rest
from console.drawing.drawn import DrawnPane, cell
from console.ground.mass import mass

if TYPE_CHECKING:
    from console.ledger.acts.closeout import Difference, LoadDifference
    from console.ledger.rows.rows import Tally, Ticket

TITLE = "Tickets against tally"
NO_TICKET, INSIDE, OUTSIDE = "no ticket", "inside", " OUTSIDE "
DIRT, MOISTURE, AND = "dirt", "moisture", " and "
NO_TICKETS = (
    "No ticket yet. Type gross and tare below, Enter adds the ticket:",
    "1240 360 blue truck, second load",
)
NO_LOAD = "no load named"
WIDEST_NAME = 32
"""Cells of supplier and load, so that the figures stand beside them on a large screen as well."""


class TicketsPane(DrawnPane):
    """Tickets one a row, then net, tally, difference and tolerance, for every load that is named."""

    tally: reactive["Tally | None"] = reactive(None, repaint=False)
    difference: reactive["Difference | None"] = reactive(None, repaint=False)
    loads: reactive[Sequence["LoadDifference"]] = reactive((), repaint=False)
    """Every load against its own tickets."""
    unit: reactive[str] = reactive("kg", repaint=False)

    def on_mount(self) -> None:
        """Name the pane."""
        self.border_title = TITLE

    def draw(self, width: int, height: int) -> list[Content]:
        """Return tickets and sums, and where there is room what is still open: holds and notes."""
        if self.tally is None or self.difference is None:
            return [Content("")]
        rows = self._tickets_and_sums(width, height)
        for open_still in shown_at_rest(None, self.tally.holds, self.tally.notes, self.unit):
            room = height - len(rows) - 2
            if room > 0 and not open_still.is_empty:
                head = Content.styled(open_still.title.strip(), "$quiet")
                rows += [Content(""), head, *open_still.lines(width, room)]
        return rows

    def _tickets_and_sums(self, width: int, height: int) -> list[Content]:
        """Return the tickets there is room for, newest kept, and the sums."""
        assert self.tally is not None
        loads = [self._load(one, width) for one in self.loads] if len(self.loads) > 1 else []
        sums = [*loads, *self._sums()]
        tickets = list(enumerate(self.tally.tickets, start=1))
        if not tickets:
            return [*[Content.styled(line, "$quiet") for line in NO_TICKETS], Content(""), *sums]
        room = max(1, height - len(sums) - 2)
        rows = [row for number, ticket in tickets for row in _ticket_rows(number, ticket, self.unit, width)]
        return [_head(self.unit), *rows[-room:], Content(""), *sums]

    def _load(self, one: "LoadDifference", width: int) -> Content:
        gap = one.difference
        name = f"{one.supplier} {one.load}".strip() or NO_LOAD
        sign = "+" if gap.difference_g > 0 else ""
        figures = f"{sign}{mass(gap.difference_g, self.unit)} of ±{mass(gap.tolerance_g, self.unit)} "
        word = _word(gap)
        return Content.assemble(
            cell(name, max(8, min(WIDEST_NAME, width - len(figures) - len(word[0]) - 1))),
            " ",
            (figures, "bold"),
            word,
        )

    def _sums(self) -> list[Content]:
        gap = self.difference
        assert gap is not None
        if not gap.has_ticket:
            return [self._sum("tally", gap.tally_g)]
        sign = "+" if gap.difference_g > 0 else ""
        return [
            self._sum("net of tickets", gap.net_g),
            self._sum("tally", gap.tally_g),
            self._sum("difference", gap.difference_g, sign) + Content.assemble("  ", _word(gap)),
            self._sum("tolerance", gap.tolerance_g, "±"),
        ]

    def _sum(self, name: str, grams: int, sign: str = "") -> Content:
        return Content.assemble(
            (cell(name, 16), "$quiet"),
            (cell(sign + mass(grams, self.unit), 12, right=True), "bold"),
            f" {self.unit}",
        )


def _word(gap: "Difference") -> tuple[str, str]:
    if not gap.has_ticket:
        return NO_TICKET, "bold $warning"
    return (INSIDE, "bold $success") if gap.is_inside else (OUTSIDE, "bold reverse $error")


def _head(unit: str) -> Content:
    heads = "".join(cell(f"{name} {unit}", 11, right=True) for name in ("gross", "tare", "net"))
    return Content.styled(cell("no.", 4) + heads, "$quiet")


def _ticket_rows(number: int, ticket: "Ticket", unit: str, width: int) -> list[Content]:
    """Return a ticket with what is said of it beside the figures, or below them where there is no room."""
    figures = "".join(
        cell(mass(grams, unit), 11, right=True) for grams in (ticket.gross_g, ticket.tare_g, ticket.net_g)
    )
    row = cell(str(number), 4) + figures
    said = ticket_words(ticket, unit)
    if len(row) + 2 + len(said) <= width:
        return [Content(f"{row}  {said}".rstrip())]
    return [Content(row), Content.styled(cell("    " + said, width), "$quiet")]


def ticket_words(ticket: "Ticket", unit: str) -> str:
    """Return whose load a ticket weighs, what is taken off, and its note."""
    said = [f"{ticket.supplier} {ticket.load}".strip()]
    if ticket.deduction_g:
        causes = [DIRT] if ticket.dirt_g else []
        causes += [MOISTURE] if ticket.moisture_pct else []
        said.append(f"-{mass(ticket.deduction_g, unit)} {unit} {AND.join(causes)}")
    said.append(ticket.note)
    return ", ".join(part for part in said if part)
