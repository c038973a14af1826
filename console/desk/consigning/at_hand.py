"""The page of one consignment: how it stands, which bales could go in, and what the buyer found."""

from typing import TYPE_CHECKING

from console.ground.mass import format_mass
from console.ledger.consignments.consignment import State
from console.ledger.consignments.settled import settled_loads
from console.ledger.consignments.sheet_of import order_of
from console.ledger.consignments.standing import consignment_named, consignments, standing_bales
from console.reports.columns import folded
from console.reports.consigning.load_text import load_text
from console.reports.consigning.settlement_text import settlement_text
from console.yard.loads.refusing import why_refused

if TYPE_CHECKING:
    from console.desk.desk import Desk

MOST_FREE = 12
COULD_GO_IN = "Could go in: "


def load_page(desk: "Desk", tag: str, width: int) -> str:
    """Return a consignment as lines of at most a width; of an open one the bales that its order takes,
    too, and of one that was settled what the buyer found.

    Raises:
        LedgerRefusal: There is none, or its order is gone from yard.toml.
    """
    own = consignment_named(desk.ledger, tag)
    lines = list(load_text(desk.consignments.sheet(tag), own.state.value, width))
    if own.state is not State.OPEN:
        found = [one for one in settled_loads(desk.ledger, desk.yard) if one.tag == tag]
        if found:
            lines += ["", *settlement_text(found, tag, width)]
        return "\n".join(lines)
    _, order = order_of(own, desk.yard)
    held = {part.draw_down_id for one in consignments(desk.ledger).values() for part in one.parts}
    taken = {bay.code for bay in desk.yard.bays if not bay.is_hold and not why_refused(bay, order)}
    free = [
        f"{row.body['bale']} {format_mass(row.mass_g or 0, desk.yard.weight_unit)}"
        for row in standing_bales(desk.ledger).values()
        if row.row_id not in held and row.bay in taken
    ]
    if free:
        more = f" and {len(free) - MOST_FREE} more" if len(free) > MOST_FREE else ""
        lines += ["", *folded(COULD_GO_IN + ", ".join(free[-MOST_FREE:]) + more, width, indent="  ")]
    return "\n".join(lines)
