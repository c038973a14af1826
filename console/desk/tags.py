"""What a tag that was typed or scanned stands on: a piece on hold, or a bale."""

from typing import TYPE_CHECKING

from console.desk.refusals import DeskRefusal
from console.desk.sentences import which
from console.ground.cleaning import clean
from console.ground.dates import local
from console.ledger.consignments.standing import standing_bale
from console.ledger.rows.rows import PieceState
from console.ledger.views.piece_state import tagged_piece
from console.reports.paperwork.bale_sheet import bale_sheet, bale_text
from console.yard.yard import Bay

if TYPE_CHECKING:
    from console.desk.desk import Desk

NOBODY = 'The handover lists the tags of what waits: no piece on hold and no bale has the tag "{tag}".'
VOID = "{tag} waits no more: the piece is void."
WAITS_NO_MORE = "{tag} waits no more: {which}."


def tag_in(desk: "Desk", bay: Bay, piece: PieceState | None = None) -> str | None:
    """Return the tag of a piece in a bay: on hold the one that stands on the metal, else the next; else None.

    Args:
        desk: Where.
        bay: Where it goes.
        piece: What it was entered as before; None for a new one.
    """
    if not bay.is_hold:
        return None
    return (piece.tag if piece is not None else None) or desk.ledger.next_tag()


class Tags:
    """Finds what has a tag; writes nothing."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    def waiting(self, tag: str) -> PieceState | None:
        """Return the piece that waits on hold with a tag; None where the tag is a bale's.

        Raises:
            DeskRefusal: Nothing has it, or its piece waits no more; the message says where that lies.
        """
        piece = tagged_piece(self._desk.ledger, tag)
        if piece is None:
            if standing_bale(self._desk.ledger, tag) is None:
                raise DeskRefusal(NOBODY.format(tag=clean(tag, 40)))
            return None
        if piece.is_void:
            raise DeskRefusal(VOID.format(tag=piece.tag))
        if not piece.is_held:
            raise DeskRefusal(WAITS_NO_MORE.format(tag=piece.tag, which=which(piece, self._desk.yard)))
        return piece

    def bale_sheet(self, tag: str) -> str:
        """Return the sheet of a bale as it was printed; empty for no bale."""
        row, yard = standing_bale(self._desk.ledger, tag), self._desk.yard
        sheet = bale_sheet(row, yard, local(row.at_utc)) if row else None
        return bale_text(sheet) if sheet else ""
