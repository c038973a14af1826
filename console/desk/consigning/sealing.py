"""The seal: loose parts leave their bays, the sheet is written down, nothing changes any more."""

from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from console.desk.bays.baling import free_tag
from console.desk.consigning.typed import NOTHING_LIES
from console.desk.refusals import DeskRefusal, NeedsReason, known_bay
from console.ground.cleaning import clean
from console.ground.mass import format_mass
from console.ledger.consignments.consignment import Consignment, Part, State
from console.ledger.consignments.sheet_of import loose_bale, order_of, sheet_of
from console.ledger.consignments.standing import consignment_named, consignments
from console.ledger.rows.rows import Row
from console.ledger.views.bay_metal import after_draw_down
from console.yard.chemistry.bale import Bale, bale_body
from console.yard.chemistry.composition import BaySums
from console.yard.loads.load_sheet import LoadSheet

if TYPE_CHECKING:
    from console.desk.desk import Desk

FULL = "order {order} wants {wanted}; with this one {sealed} would be sealed for it"
WITH_REASON = "{why}. Give a reason if it is to go all the same."


def seal(desk: "Desk", tag: str, despite: str) -> tuple[LoadSheet, list[Row]]:
    """Seal an open consignment; return its sheet and the rows written once they are on disk.

    Args:
        desk: With an open run.
        tag: Which.
        despite: Why, where a limit of the order is not met, or the order is full.

    Raises:
        DeskRefusal: It does not pass by its order and no reason is given; the message says which limit, by
            how much, and what would help. Or nothing lies in the bay of a loose part.
        LedgerRefusal: It was sealed by somebody else meanwhile, or is empty.
        StoreError: The disk refused; nothing was written.
    """
    reason, acts = clean(despite).strip(), desk.ledger.consignments
    # The book of the bays is asked before anything is written: it may only follow rows that stay.
    sums = dict(desk.bays.book.sums())
    with desk.ledger.act():
        own = consignment_named(desk.ledger, tag)
        if own.state is not State.OPEN or not own.parts:
            acts.seal(tag, desk.person, sheet={}, drawn={})
        _refuse_unfit(desk, own, sheet_of(desk.ledger, own, desk.yard, sums), reason)
        parts, rows = [], []
        for part in own.parts:
            if part.is_loose:
                row, bale = _draw(desk, own.tag, part, sums)
                rows.append(row)
                part = part.drawn(row.row_id, bale.tag)
            parts.append(part)
        was_loose = {part.key for part in own.parts if part.is_loose}
        drawn = {part.key: (part.draw_down_id, part.name) for part in parts if part.key in was_loose}
        full = replace(own, parts=tuple(parts))
        sheet = sheet_of(desk.ledger, full, desk.yard, sums, despite=reason)
        rows.append(acts.seal(own.tag, desk.person, sheet=asdict(sheet), drawn=drawn))
    return sheet, rows


def _draw(desk: "Desk", tag: str, part: Part, sums: dict[str, BaySums]) -> tuple[Row, Bale]:
    bay = known_bay(part.bay, desk.yard)
    if sums[bay.code].mass_g <= 0.0:
        raise DeskRefusal(NOTHING_LIES.format(bay=bay.code))
    bale = loose_bale(bay, part, sums, free_tag(desk, bay.code))
    row = desk.ledger.draw_down(bay.code, part.mass_g, desk.person, reason=tag, body=bale_body(bale))
    sums[bay.code] = after_draw_down(sums[bay.code], part.mass_g, empties=bale.empties)
    return row, bale


def _refuse_unfit(desk: "Desk", own: Consignment, sheet: LoadSheet, reason: str) -> None:
    why = list(sheet.failures)
    _, order = order_of(own, desk.yard)
    known = consignments(desk.ledger).values()
    before_g = sum(one.net_g for one in known if one.order == own.order and one.state is not State.OPEN)
    if order.wanted_g is not None and before_g + sheet.net_g > order.wanted_g:
        wanted, there = (format_mass(g, sheet.unit) for g in (order.wanted_g, before_g + sheet.net_g))
        why.append(FULL.format(order=order.code, wanted=wanted, sealed=there))
    if why and not reason:
        raise NeedsReason(WITH_REASON.format(why=f"{own.tag} does not pass: {'. '.join(why)}"))
