"""What could be sold now: bales that lie in no consignment, the loose metal of the bays, and who takes it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from console.ground.scanned import bare_tag
from console.ledger.consignments.consignment import Consignment, Part
from console.ledger.consignments.standing import NO_BALE, consignments, holder_of, lies_in, standing_bales
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.rows import Row
from console.ledger.views.bay_metal import after_draw_down
from console.yard.chemistry.bale import bale_from
from console.yard.chemistry.composition import BaySums
from console.yard.loads.pooling import UNNAMED
from console.yard.selling.outlets import openings, refusals
from console.yard.selling.sale import Outlet, Sale, Source
from console.yard.yard import Yard

LEAST_KG = 1.0
"""Less than this in a bay is no load [kg]."""
MOST_BALES = 200
"""So many of the newest bales are planned unless they are named: more is beyond a search of seconds (own
choice)."""
UNKNOWN = "nothing is known of what it is made of"
NO_BAY = "Bale {tag} is of bay {bay}, which is no longer in yard.toml."


def sale_of(
    source: LedgerSource,
    yard: Yard,
    sums: Mapping[str, BaySums],
    today: date,
    *,
    confidence: float,
    bales: Sequence[str] | None = None,
    with_loose: bool = True,
) -> Sale:
    """Return what could be sold now, and who takes it.

    Args:
        source: The ledger or a reader.
        yard: Its bays and buyers.
        sums: Code of a bay -> what lies there.
        today: For the last days of orders.
        confidence: One-sided, of each limit of each load.
        bales: Tags; None for every bale that lies in no consignment, the newest MOST_BALES of them.
        with_loose: Whether the loose metal of the bays is sold too, less what open consignments hold of it.

    Raises:
        LedgerRefusal: No bale has one of the tags, it lies in a consignment, or its bay is gone.
    """
    with one_view(source):
        known, drawn = consignments(source).values(), standing_bales(source)
    held = [part for one in known for part in one.parts]
    open_now = openings(yard, today, _promised(known))
    rows = _free(drawn, held, yard) if bales is None else [_named(drawn, tag, known) for tag in bales]
    sources = [_bale(row, yard, open_now.outlets) for row in {row.row_id: row for row in rows}.values()]
    if with_loose:
        sources += _loose(yard, sums, [part for part in held if part.is_loose])
    return Sale(
        sources=tuple(sources),
        outlets=open_now.outlets,
        confidence=confidence,
        passed_over=open_now.passed_over,
    )


def _promised(known: Iterable[Consignment]) -> dict[str, int]:
    """Return what lies in consignments for every order [g]."""
    promised: dict[str, int] = {}
    for one in known:
        promised[one.order] = promised.get(one.order, 0) + one.net_g
    return promised


def _loose(yard: Yard, sums: Mapping[str, BaySums], held: Sequence[Part]) -> Iterator[Source]:
    """Yield the loose metal of every bay as it lies; each can be sold in parts."""
    for bay in yard.bays:
        if bay.is_hold or bay.code not in sums:
            continue
        held_g = sum(part.mass_g for part in held if part.bay == bay.code)
        of_bay = after_draw_down(sums[bay.code], held_g, empties=False)
        if of_bay.mass_g >= 1000.0 * LEAST_KG:
            yield Source(
                name=bay.code,
                mass_kg=of_bay.mass_g / 1000.0,
                contents=of_bay.composition(),
                kept_per_kg=bay.downgrade_per_kg,
                refused_share=min(1.0, max(0.0, of_bay.refused_g / of_bay.mass_g)),
                refused_by=refusals(bay, yard),
            )


def _free(drawn: Mapping[str, Row], held: Iterable[Part], yard: Yard) -> list[Row]:
    """Return the newest bales that lie in no consignment and whose bay is there."""
    taken = {part.draw_down_id for part in held}
    free = [row for row in drawn.values() if row.row_id not in taken and yard.bay_if_known(row.bay or "")]
    return free[-MOST_BALES:]


def _named(drawn: Mapping[str, Row], tag: str, known: Iterable[Consignment]) -> Row:
    row = drawn.get(bare_tag(tag))
    if row is None:
        raise LedgerRefusal(NO_BALE.format(tag=tag.strip()))
    if (holder := holder_of(known, row.row_id)) is not None:
        raise LedgerRefusal(lies_in(str(row.body["bale"]), holder))
    return row


def _bale(row: Row, yard: Yard, outlets: Sequence[Outlet]) -> Source:
    """Return a bale as a source that is sold whole or not at all."""
    bale = bale_from(row.bay or "", row.mass_g or 0, row.body)
    assert bale is not None, "only draw-downs with a bale stand among the bales"
    bay = yard.bay_if_known(bale.bay_code)
    if bay is None:
        raise LedgerRefusal(NO_BAY.format(tag=bale.tag, bay=bale.bay_code))
    limits = {one.name: (*one.limits, *(claim.limit for claim in one.claims)) for one in outlets}
    asked = {symbol for of in limits.values() for limit in of for symbol in limit.weights}
    # What a bale does not name may still be there up to what would have been written on it.
    contents = {**dict.fromkeys(sorted(asked), UNNAMED), **bale.composition} if bale.composition else {}
    unknown = {} if contents else {name: UNKNOWN for name, of in limits.items() if of}
    return Source(
        name=bale.tag,
        mass_kg=bale.mass_g / 1000.0,
        contents=contents,
        is_whole=True,
        kept_per_kg=bay.downgrade_per_kg,
        refused_share=bale.refused_share,
        refused_by={**unknown, **refusals(bay, yard)},
    )
