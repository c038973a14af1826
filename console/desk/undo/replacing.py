"""Which acts were one: an old piece voided and the new one tallied; a load said of several pieces."""

from collections.abc import Iterable, Sequence

from console.ledger.keeping.store import Ledger
from console.ledger.rows.queries import row_by_id
from console.ledger.rows.rows import Row, RowKind
from console.ledger.views.piece_state import corrections_of

REPLACED_REASON = "corrected at the desk"
"""Reason on the void of a piece that was entered anew in the same act."""


def is_replacement(ledger: Ledger, acts: Sequence[Row]) -> bool:
    """Tell whether two acts, or what undid and redid them, belong to one correction.

    Both were written in one transaction, so that the rows of old and new piece follow each other.
    """
    if len(acts) < 2:
        return False
    old, new = (row_by_id(ledger, act.refers or act.row_id) for act in acts)
    if old is None or new is None or new.kind is not RowKind.PIECE:
        return False
    voids = [row for row in corrections_of(ledger, old.row_id) if row.kind is RowKind.VOID]
    return any(row.body.get("reason") == REPLACED_REASON and row.seq + 1 == new.seq for row in voids)


def done_together(ledger: Ledger, acts: Iterable[Row]) -> int:
    """Return how many of the first acts, newest first, were done in one go; 1 for a single act.

    That is saying whose load several pieces belong to, and beginning the consignments of a plan.
    """
    count, together = 1, ""
    for number, act in enumerate(acts, start=1):
        said = _together(ledger, act)
        if number == 1:
            together = said
        if not together or said != together:
            break
        count = number
    return count


def _together(ledger: Ledger, act: Row) -> str:
    """Return by which mark an act knows the others of its go; empty where it stands alone."""
    about: Row | None = act
    if act.kind in (RowKind.VOID, RowKind.UNVOID):
        about = row_by_id(ledger, str(act.refers))
    is_one = about is not None and about.kind in (RowKind.LOAD, RowKind.CONSIGNMENT)
    return str(about.body.get("together", "")) if about is not None and is_one else ""
