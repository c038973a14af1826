"""A scale ticket typed as one line: gross, tare, note."""

import re
from dataclasses import dataclass

WEIGHT = r"[0-9]+(?:[.,][0-9]*)?\s*(?:kgs?|g|lbs?|t|tonnes?|stons?)?"
_LINE = re.compile(
    rf"\s*(?P<gross>{WEIGHT})[\s/;-]+(?P<tare>{WEIGHT})(?:[\s;,]+(?P<note>\S.*))?\s*", re.IGNORECASE
)
WANTED = "A ticket is gross and tare, such as: 1240 360. A note may follow."


class TicketLineError(ValueError):
    """The line is no ticket; the message says what one looks like."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketLine:
    """The parts of the line, weights as typed."""

    gross: str
    tare: str
    note: str = ""


def read_ticket_line(line: str) -> TicketLine:
    """Return the parts of a ticket line.

    Raises:
        TicketLineError: Gross or tare is missing.

    >>> read_ticket_line("1240 360 blue truck")
    TicketLine(gross='1240', tare='360', note='blue truck')
    >>> read_ticket_line("1.24t 360kg").tare
    '360kg'
    """
    found = _LINE.fullmatch(line)
    if found is None:
        raise TicketLineError(WANTED)
    return TicketLine(
        gross=found["gross"].strip(), tare=found["tare"].strip(), note=(found["note"] or "").strip()
    )
