"""The labels of pieces on hold, of bales, consignments and bays, as ledger and yard.toml have them now."""

from console.ground.cleaning import clean
from console.ground.figures import many
from console.ground.mass import format_mass
from console.ground.scanned import bare_tag
from console.ledger.consignments.consignment import Consignment
from console.ledger.consignments.standing import consignments, standing_bale
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.rows import PieceState
from console.ledger.views.piece_state import waiting_pieces
from console.reports.labels.code import LabelError
from console.reports.labels.label import Label
from console.yard.chemistry.bale import bale_from
from console.yard.yard import Bay, Yard

ON_A_SIGN = 3
"""Rows of what a bay takes."""
UNKNOWN = (
    'No piece on hold, no bale and no consignment has the tag "{tag}". Tags stand in the handover; '
    "`--holds` prints those of all pieces that wait."
)


def hold_labels(source: LedgerSource, yard: Yard) -> list[Label]:
    """Return the tags of every piece that waits on hold, oldest first."""
    return [_of_hold(piece, yard) for piece in waiting_pieces(source)]


def tagged_label(source: LedgerSource, yard: Yard, tag: str) -> Label:
    """Return the label of one piece on hold, one bale or one consignment.

    Raises:
        LabelError: Nothing that is there has this tag.
    """
    wanted = bare_tag(tag)
    for piece in waiting_pieces(source):
        if bare_tag(piece.tag or "") == wanted:
            return _of_hold(piece, yard)
    for load in consignments(source).values():
        if bare_tag(load.tag) == wanted:
            return _of_consignment(load, yard)
    row = standing_bale(source, wanted)
    bale = bale_from(row.bay or "", row.mass_g or 0, row.body) if row else None
    if row is None or bale is None:
        raise LabelError(UNKNOWN.format(tag=clean(tag, 40)))
    pieces = many(bale.pieces, "piece", "pieces")
    return Label(
        tag=bale.tag,
        rows=(
            f"bay {bale.bay_code} {clean(bale.bay_name)}, {yard.name}",
            f"{format_mass(bale.mass_g, yard.weight_unit)}, {'' if bale.empties else 'about '}{pieces}",
            f"ledger row {row.row_hash[:16]}",
        ),
    )


def bay_label(bay: Bay) -> Label:
    """Return the sign of a bay: its code, its name, and what it takes."""
    takes = "" if bay.is_hold else f"takes {', '.join(bay.accepts)}"
    refuses = f"not {', '.join(bay.refuses)}" if bay.refuses else ""
    rows = tuple(row for row in (bay.name, takes, refuses) if row)
    return Label(tag=bay.code, rows=rows[:ON_A_SIGN], is_sign=True)


def _of_consignment(load: Consignment, yard: Yard) -> Label:
    parts = many(len(load.parts), "part", "parts")
    row = load.sealed or load.begun
    return Label(
        tag=load.tag,
        rows=(
            f"to {clean(load.buyer)}, order {clean(load.order)}, from {yard.name}",
            f"{format_mass(load.net_g, yard.weight_unit)}, {parts}, {load.state.value}",
            f"ledger row {row.row_hash[:16]}",
        ),
    )


def _of_hold(piece: PieceState, yard: Yard) -> Label:
    # The line holds its note, which is mostly what the piece waits for: said once, it has the room.
    is_said = piece.waits_for in piece.line
    waits = (f"waits: {clean(piece.waits_for)}",) if piece.waits_for and not is_said else ()
    whence = f"{format_mass(piece.mass_g, yard.weight_unit)}, run {piece.run_id}, {yard.name}"
    return Label(tag=piece.tag or "", rows=(clean(piece.line), *waits, whence))
