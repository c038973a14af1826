"""Which consignments there are, which bales lie in them, and which rows they hold fast."""

from collections.abc import Iterable

from console.ground.dates import local_day_and_time
from console.ground.scanned import bare_tag
from console.ledger.consignments.consignment import (
    ACT,
    FIXED_BY_THE_SEAL,
    TAG,
    Act,
    Consignment,
    Part,
    State,
    folded,
    parts_put,
)
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import OF_ALL_RUNS
from console.ledger.views.bay_metal import DRAWN_DOWN
from console.ledger.views.piece_state import standing_rows

_OURS = f"kind = 'consignment' AND {OF_ALL_RUNS}"
NEVER_CHANGES = "{tag} was sealed by {person}, {at}: a sealed consignment never changes."
NO_BALE = 'No bale has the tag "{tag}". Tags stand on the sheets of the bales, such as T1-ALO-0001.'
NO_SUCH = 'There is no consignment "{tag}". {known}'
LIES_IN = "{bale} lies in {tag}, which is {state}; {way_out}."


def consignments(source: LedgerSource) -> dict[str, Consignment]:
    """Return every consignment that stands, by its tag, oldest first."""
    return folded(standing_rows(source, _OURS))


def consignment_named(source: LedgerSource, tag: str) -> Consignment:
    """Return a consignment by its tag, typed or scanned.

    Raises:
        LedgerRefusal: There is none; the message names those that are open.
    """
    known = consignments(source)
    found = {bare_tag(name): one for name, one in known.items()}.get(bare_tag(tag))
    if found is None:
        there = ", ".join(one.tag for one in known.values() if one.state is State.OPEN)
        said = f"Open: {there}." if there else "None is open; begin one for an order."
        raise LedgerRefusal(NO_SUCH.format(tag=tag.strip(), known=said))
    return found


def standing_bales(source: LedgerSource) -> dict[str, Row]:
    """Return the draw-down of every bale that was not taken back, by its tag as scanned, oldest first."""
    rows = standing_rows(source, DRAWN_DOWN)
    return {bare_tag(str(row.body["bale"])): row for row in rows if "bale" in row.body}


def standing_bale(source: LedgerSource, tag: str) -> Row | None:
    """Return the draw-down of the bale with a tag, typed or scanned; None for no bale, or one taken back."""
    return standing_bales(source).get(bare_tag(tag))


def rows_by_id(source: LedgerSource, row_ids: Iterable[str]) -> dict[str, Row]:
    """Return rows by their ids."""
    asked = list(row_ids)
    found = rows_where(source, f"row_id IN ({', '.join('?' * len(asked))})", asked) if asked else []
    return {row.row_id: row for row in found}


def holder_of(known: Iterable[Consignment], draw_down_id: str) -> Consignment | None:
    """Return the consignment in which a bale lies; None where it lies in none."""
    for one in known:
        if any(part.draw_down_id == draw_down_id for part in one.parts):
            return one
    return None


def why_fixed(source: LedgerSource, row: Row, *, comes_back: bool) -> str:
    """Return why a row can neither be taken back nor come back because of a consignment; empty where it can.

    Args:
        source: The ledger.
        row: Any row that can be voided.
        comes_back: It was void and is to count again.
    """
    if row.kind not in (RowKind.CONSIGNMENT, RowKind.DRAW_DOWN):
        return ""
    known = consignments(source)
    if row.kind is RowKind.DRAW_DOWN:
        holder = holder_of(known.values(), row.row_id)
        return "" if holder is None else lies_in(str(row.body.get("bale", row.bay)), holder)
    own = known.get(str(row.body[TAG]))
    if own is not None and own.sealed is not None and Act(row.body[ACT]) in FIXED_BY_THE_SEAL:
        return never_changes(own.tag, own.sealed)
    for part in _coming_in(source, row, comes_back=comes_back):
        elsewhere = None if part.is_loose else holder_of(known.values(), part.draw_down_id)
        if elsewhere is not None:
            return lies_in(part.name, elsewhere)
    return ""


def is_fixed_by_seal(source: LedgerSource, row: Row) -> bool:
    """Tell whether a row belongs to a sealed consignment, so that undo passes it over."""
    if row.kind in (RowKind.VOID, RowKind.UNVOID):
        row = rows_by_id(source, [str(row.refers)])[str(row.refers)]
    if row.kind is RowKind.DRAW_DOWN:
        holder = holder_of(consignments(source).values(), row.row_id)
        return holder is not None and holder.sealed is not None
    if row.kind is not RowKind.CONSIGNMENT or Act(row.body[ACT]) not in FIXED_BY_THE_SEAL:
        return False
    own = consignments(source).get(str(row.body[TAG]))
    return own is not None and own.sealed is not None


def _coming_in(source: LedgerSource, row: Row, *, comes_back: bool) -> list[Part]:
    """Return the parts that would lie in a consignment again if a row were voided, or came back."""
    act = Act(row.body[ACT])
    if act is Act.PUT and comes_back:
        return parts_put(row)
    if act is not Act.TAKE or comes_back:
        return []
    keys = [str(key) for key in row.body["taken"]]
    puts = rows_by_id(source, {key.partition("/")[0] for key in keys})
    return [part for put in puts.values() for part in parts_put(put) if part.key in keys]


def never_changes(tag: str, seal: Row) -> str:
    """Return that a consignment is sealed, by whom and when."""
    return NEVER_CHANGES.format(tag=tag, person=seal.person, at=local_day_and_time(seal.at_utc))


def lies_in(bale: str, holder: Consignment) -> str:
    """Return that a bale lies in a consignment, and what can be done about it."""
    is_open = holder.state is State.OPEN
    way_out = "take it out of there first" if is_open else "it stays there"
    return LIES_IN.format(bale=bale, tag=holder.tag, state=holder.state.value, way_out=way_out)
