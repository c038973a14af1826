"""A scale ticket typed as one line: gross, tare, deductions, whose load it is, note."""

import re
from dataclasses import dataclass

from console.entry.load_words import FROM, LOAD, read_load_words
from console.ground.errors import BaywrightError

WEIGHT = r"[0-9]+(?:[.,][0-9]*)?\s*(?:kgs?|g|lbs?|t|tonnes?|stons?)?"
_LINE = re.compile(
    rf"\s*(?P<gross>{WEIGHT})[\s/;-]+(?P<tare>{WEIGHT})(?:[\s;,]+(?P<rest>\S.*))?\s*", re.IGNORECASE
)
_PARTS = {
    "moisture": re.compile(r"(?<!\S)wet\s*(?P<said>[0-9]+(?:[.,][0-9]*)?)\s*%?(?!\S)", re.IGNORECASE),
    "dirt": re.compile(
        r"(?<!\S)dirt\s*(?P<said>[0-9]+(?:[.,][0-9]*)?(?:kgs?|g|lbs?|t|tonnes?|stons?)?)(?!\S)", re.IGNORECASE
    ),
}
_LOAD_WORDS = re.compile(
    rf"\s*(?:(?:{'|'.join(sorted(FROM))})\s+\S|(?:{'|'.join(sorted(LOAD))})\s+\S*[0-9])", re.IGNORECASE
)
"""The word for supplier or load, and a name or number behind it; "load of pipe" names none."""
WANTED = "A ticket is gross and tare, such as: 1240 360 from Old Mill load 7; a note may follow."


class TicketLineError(BaywrightError):
    """The line is no ticket; the message says what one looks like."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketTyped:
    """A ticket as typed; weights in the yard's unit unless they name one."""

    gross: str
    tare: str = ""
    """Empty for a weight that is net already."""
    note: str = ""
    moisture: str = ""
    """Water in the load [% of what is left after the dirt]; empty for none."""
    dirt: str = ""
    """Dirt and packing weighed with the load; empty for none."""
    supplier: str = ""
    load: str = ""


def read_ticket_line(line: str) -> TicketTyped:
    """Return the parts of a ticket line.

    Whose load it is counts where it comes first after the weights, water and dirt, and ends at a semicolon;
    behind any other word it is a part of the note.

    Raises:
        TicketLineError: Gross or tare is missing.

    >>> read_ticket_line("1240 360 blue truck").note
    'blue truck'
    >>> read_ticket_line("1240 360 scrap from gate").note
    'scrap from gate'
    >>> read_ticket_line("1.24t 360kg").tare
    '360kg'
    >>> parts = read_ticket_line("1240 360 wet2% dirt 5kg from Old Mill load 7; blue truck")
    >>> parts.moisture, parts.dirt, parts.supplier, parts.load, parts.note
    ('2', '5kg', 'Old Mill', '7', 'blue truck')
    """
    parsed = _LINE.fullmatch(line)
    if parsed is None:
        raise TicketLineError(WANTED)
    rest = parsed["rest"] or ""
    parts = {}
    for name, pattern in _PARTS.items():
        part = pattern.search(rest)
        if part is not None:
            parts[name] = part["said"].strip('"').strip()
            rest = f"{rest[: part.start()]} {rest[part.end() :]}"
    said, rest = _of_load(rest)
    if (typed := read_load_words(said)) is not None:
        parts |= {"supplier": typed.supplier or "", "load": typed.load or ""}
    return TicketTyped(
        gross=parsed["gross"].strip(), tare=parsed["tare"].strip(), note=" ".join(rest.split()), **parts
    )


def _of_load(rest: str) -> tuple[str, str]:
    """Return the words that say whose load it is, up to a semicolon, and what is left for the note."""
    if _LOAD_WORDS.match(rest) is None:
        return "", rest.replace(";", " ")
    said, _, note = rest.partition(";")
    return said, note
