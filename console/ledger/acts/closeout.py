"""The tally against the scale tickets: the difference, and how large it may be."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Any

from console.ledger.acts.scale_tables import largest_error_g, table_for
from console.ledger.rows.rows import PieceState, Tally, Ticket
from console.yard.yard import Yard

COVERAGE = 2.0  # two standard uncertainties, the usual choice: about 95 in 100 honest runs lie inside


@dataclass(frozen=True, slots=True, kw_only=True)
class TolerancePart:
    """One cause why tally and tickets may honestly differ."""

    cause: str
    """In words: "ticket 1, gross: the scale may be 1000 g out"."""
    standard_g: float
    """Standard uncertainty that it adds [g]."""
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """The tally of a run against its tickets."""

    net_g: int
    """Sum of the tickets' net weights less dirt and moisture [g]."""
    tally_g: int
    """Sum of the pieces [g]."""
    difference_g: int
    """tally_g - net_g: above 0 when more was tallied than weighed in [g]."""
    tolerance_g: int
    """How far from 0 the difference may honestly lie [g]."""
    is_inside: bool
    """Whether it lies within the tolerance; never true without a ticket."""
    has_ticket: bool
    parts: tuple[TolerancePart, ...]
    """What the tolerance is made of."""

    def as_figures(self) -> Mapping[str, Any]:
        """Return the figures as they are kept in the close-out row."""
        return {
            "net_g": self.net_g,
            "tally_g": self.tally_g,
            "difference_g": self.difference_g,
            "tolerance_g": self.tolerance_g,
            "is_inside": self.is_inside,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadDifference:
    """One load against its own tickets."""

    supplier: str
    load: str
    difference: Difference


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """How often each scale was read for the entries of a tally: a gross weight and a tare are two."""

    bench: int
    platform: int = 0


def readings_of(entries: int, otherwise: Sequence[PieceState]) -> Readings:
    """Return how often the scales were read.

    Args:
        entries: How many entries stand.
        otherwise: Those among them that the bench scale did not weigh in one go.
    """
    platform = sum(piece.weighings for piece in otherwise if piece.is_on_platform)
    tared = sum(piece.weighings for piece in otherwise if not piece.is_on_platform)
    return Readings(bench=entries - len(otherwise) + tared, platform=platform)


def difference(tally: Tally, yard: Yard, *, readings: Readings | None = None) -> Difference:
    """Return the difference between a run's tally and its tickets, with its tolerance.

    The tolerance is twice the root of the summed squares of: for each weighing of a ticket, the largest
    error that the table allows its scale, taken as equally likely anywhere within (so divided by root 3);
    and for each weighing of an entry, the rounding to the division d of its scale, d / root 12. A scale that
    reads wrong all shift long is not in it: finding that is what the comparison is for.

    Args:
        tally: The sums of the run.
        yard: Its scales.
        readings: How often each scale was read; None where the bench scale weighed every entry in one go.
    Valid: the entries are many and independent; loads within the scales' range. How well a moisture figure is
    known is not in it.
    Source: JCGM 100 (GUM) 4.3.7 for the even spread, memory; the tables as named in scale_tables.
    """
    readings = readings or Readings(bench=tally.entries)
    return weighed_against(dict(enumerate(tally.tickets, 1)), tally.mass_g, readings, yard)


def weighed_against(
    numbered: Mapping[int, Ticket], mass_g: int, readings: Readings, yard: Yard
) -> Difference:
    """Return the difference between entries and tickets, with its tolerance; see `difference`.

    Args:
        numbered: The tickets by their number in the run, from 1.
        mass_g: Sum of the entries [g].
        readings: How often each scale was read for them.
        yard: Its scales.
    """
    tickets = numbered.values()
    parts = [*_ticket_parts(numbered, yard), *_entry_parts(readings, yard)]
    net_g = sum(ticket.clean_g for ticket in tickets)
    off_g = mass_g - net_g
    tolerance_g = round(COVERAGE * sqrt(sum(part.standard_g**2 for part in parts)))
    return Difference(
        net_g=net_g,
        tally_g=mass_g,
        difference_g=off_g,
        tolerance_g=tolerance_g,
        is_inside=bool(tickets) and abs(off_g) <= tolerance_g,
        has_ticket=bool(tickets),
        parts=tuple(parts),
    )


def differences_by_load(
    tickets: Sequence[Ticket], pieces: Sequence[PieceState], yard: Yard
) -> list[LoadDifference]:
    """Return tally against tickets for every load that a ticket or a piece names, in order of appearance.

    Pieces and tickets belong together when supplier and load agree, upper and lower case alike. What names
    neither stands under an empty name. A run whose pieces and tickets name no load gives one entry.

    Args:
        tickets: The tickets of the run.
        pieces: All its pieces.
        yard: Its scales.
    """
    standing = [piece for piece in pieces if not piece.is_void]
    names: dict[tuple[str, str], tuple[str, str]] = {}
    named: list[Ticket | PieceState] = [*tickets, *standing]
    for one in named:
        names.setdefault(_key(one), (one.supplier, one.load))
    found = []
    for key, (supplier, load) in names.items():
        of_load = [piece for piece in standing if _key(piece) == key]
        gap = weighed_against(
            {number: ticket for number, ticket in enumerate(tickets, 1) if _key(ticket) == key},
            sum(piece.mass_g for piece in of_load),
            readings_of(len(of_load), [one for one in of_load if one.is_on_platform or one.weighings > 1]),
            yard,
        )
        found.append(LoadDifference(supplier=supplier, load=load, difference=gap))
    return found


def _key(one: Ticket | PieceState) -> tuple[str, str]:
    """Return what pieces and tickets of one load have in common."""
    return one.supplier.casefold(), one.load.casefold()


def _ticket_parts(numbered: Mapping[int, Ticket], yard: Yard) -> list[TolerancePart]:
    parts, table = [], table_for(yard)
    for number, ticket in numbered.items():
        for name, load_g in (("gross", ticket.gross_g), ("tare", ticket.tare_g)):
            if load_g == 0:
                continue  # a tare of zero was not weighed
            error_g = largest_error_g(load_g, yard.ticket_scale.division_g, table)
            parts.append(
                TolerancePart(
                    cause=f"ticket {number}, {name}: the scale may be {error_g:g} g out",
                    standard_g=error_g / sqrt(3.0),
                    source=table.value,
                )
            )
    return parts


def _entry_parts(readings: Readings, yard: Yard) -> list[TolerancePart]:
    """Return what rounding every entry to the division of its scale adds."""
    scales = [(readings.bench, yard.piece_scale, "entries")]
    if readings.platform:
        scales.append((readings.platform, yard.ticket_scale, f"weighings on {yard.ticket_scale.name}"))
    return [
        TolerancePart(
            cause=f"{count} {what}, each rounded to {scale.division_g} g",
            standard_g=scale.division_g * sqrt(count / 12.0),
            source="even spread over one division, no fitted constant",
        )
        for count, scale, what in scales
    ]
