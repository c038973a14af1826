"""The sheet of a consignment: as it was sealed, or as it would be sealed now."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from console.ground.dates import local_day_and_time
from console.ledger.consignments.consignment import Consignment, Part
from console.ledger.consignments.standing import rows_by_id
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import LedgerRefusal
from console.yard.chemistry.bale import LEAST_SHOWN_WT_PCT, Bale, bale_from, bale_of
from console.yard.chemistry.composition import BaySums
from console.yard.loads.buyer import Buyer, Order, order_named
from console.yard.loads.judging import judged
from console.yard.loads.load_sheet import LoadSheet, SheetPart, sheet_from
from console.yard.loads.pooling import LoadPart, pool
from console.yard.yard import Bay, Yard
from grade_library.lots.blending import Blend

GONE = "Order {order} of {tag} is no longer in yard.toml, so its limits are not known. Write it there again."


def sheet_of(
    source: LedgerSource,
    own: Consignment,
    yard: Yard,
    sums: Mapping[str, BaySums],
    *,
    despite: str = "",
) -> LoadSheet:
    """Return the sheet of a consignment: a sealed one's as it was sealed, an open one's as it stands now.

    Args:
        source: The ledger or a reader.
        own: The consignment.
        yard: Its buyers and bays.
        sums: What lies in the bays, for the loose parts of an open one.
        despite: Why it is sealed though a limit is not met.

    Raises:
        LedgerRefusal: It is open, and its order is gone from yard.toml.
    """
    if own.sheet is not None:
        return sheet_from(own.sheet)
    buyer, order = order_of(own, yard)
    bales = _bales(source, own, yard, sums)
    parts = [
        LoadPart(name=part.name, mass_g=part.mass_g, contents=bales[part.key].composition)
        for part in own.parts
    ]
    composition = pool(parts).composition() if all(part.contents for part in parts) else {}
    return LoadSheet(
        tag=own.tag,
        **_terms(yard, buyer, order) | _said_of_it(own),
        price_per_kg=str(_price(order, composition, own.foreign_wt_pct) or ""),
        parts=tuple(_sheet_part(part, bales[part.key], yard) for part in own.parts),
        composition=_shown(composition, order),
        unread=_unread(own, bales),
        judged=judged(parts, order.limits, buyer.decision),
        despite=despite,
    )


def _unread(own: Consignment, bales: Mapping[str, Bale]) -> dict[str, float]:
    """Return of every element the part of the weight in which nobody read it; four decimals."""
    found: dict[str, float] = {}
    for part in own.parts:
        for symbol, share in bales[part.key].unread.items():
            found[symbol] = found.get(symbol, 0.0) + share * part.mass_g / own.parts_g
    return {symbol: round(share, 4) for symbol, share in found.items()}


def _said_of_it(own: Consignment) -> dict[str, Any]:
    """Return what was weighed and ticked."""
    foreign_g, foreign_of_g = own.foreign or (None, None)
    return {
        "begun": f"{local_day_and_time(own.begun.at_utc)}, {own.begun.person}",
        "gross_g": own.gross_g,
        "tare_g": own.tare_g,
        "foreign_g": foreign_g,
        "foreign_of_g": foreign_of_g,
        "ticks": own.ticks,
        "radiation": own.radiation,
    }


def _terms(yard: Yard, buyer: Buyer, order: Order) -> dict[str, Any]:
    return {
        "yard_name": yard.name,
        "head": yard.papers_head,
        "unit": yard.weight_unit,
        "buyer": buyer.code,
        "buyer_name": buyer.name,
        "address": buyer.address,
        "order": order.code,
        "order_name": order.name,
        "accepts": order.accepts,
        "decision": buyer.decision,
        "currency": buyer.currency,
        "foreign_max_wt_pct": order.foreign_max_wt_pct,
        "limits_asked": len(order.limits),
    }


def order_of(own: Consignment, yard: Yard) -> tuple[Buyer, Order]:
    """Return buyer and order of a consignment as yard.toml has them now.

    Raises:
        LedgerRefusal: The order is gone.
    """
    found = order_named(yard.buyers, own.order)
    if found is None:
        raise LedgerRefusal(GONE.format(order=own.order, tag=own.tag))
    return found


def loose_bale(bay: Bay, part: Part, sums: Mapping[str, BaySums], tag: str) -> Bale:
    """Return a loose part as the bale that its bay would give now."""
    return bale_of(bay, sums[bay.code], part.mass_g, tag)


def _bales(
    source: LedgerSource, own: Consignment, yard: Yard, sums: Mapping[str, BaySums]
) -> dict[str, Bale]:
    """Return every part as a bale, by its key."""
    rows = rows_by_id(source, [part.draw_down_id for part in own.parts if not part.is_loose])
    bales = {}
    for part in own.parts:
        row = rows.get(part.draw_down_id)
        bale = bale_from(part.bay, part.mass_g, row.body) if row is not None else None
        bay = yard.bay_if_known(part.bay)
        if bale is None and bay is not None:
            bale = loose_bale(bay, part, sums, part.name)
        bales[part.key] = bale or Bale(
            tag=part.name,
            bay_code=part.bay,
            bay_name="",
            mass_g=part.mass_g,
            pieces=0,
            empties=False,
            refused_share=0.0,
        )
    return bales


def _sheet_part(part: Part, bale: Bale, yard: Yard) -> SheetPart:
    bay = yard.bay_if_known(part.bay)
    most = max(bale.composition.items(), key=lambda item: item[1].wt_pct, default=("", None))
    return SheetPart(
        name=part.name,
        bay=part.bay,
        bay_name=bale.bay_name or (bay.name if bay else ""),
        mass_g=part.mass_g,
        pieces=bale.pieces,
        is_loose=part.is_loose,
        base=most[0],
        codes=dict(bay.codes) if bay else {},
        despite=part.despite,
    )


def _price(order: Order, composition: Mapping[str, Blend], foreign_wt_pct: float | None) -> Decimal | None:
    """Return the price per kg; None where it hangs on a composition that nobody knows."""
    hangs = any(step.terms for step in order.steps)
    return None if hangs and not composition else order.price_for(composition, foreign_wt_pct)


def _shown(composition: Mapping[str, Blend], order: Order) -> dict[str, Blend]:
    """Return the elements that stand on papers: those that count, and those of the limits; four decimals."""
    asked = {symbol for limit in order.limits for symbol in limit.terms}
    return {
        symbol: Blend(wt_pct=round(one.wt_pct, 4), sigma=round(one.sigma, 4), common=round(one.common, 4))
        for symbol, one in composition.items()
        if one.wt_pct >= LEAST_SHOWN_WT_PCT or symbol in asked
    }
