"""A bale that was taken out of a bay, found by its tag."""

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import Row
from console.ledger.rows.runs import Where
from console.ledger.views.piece_state import corrections_of
from console.ledger.views.replay import stand_after


def bale_row(source: LedgerSource, tag: str) -> Row | None:
    """Return the row of the bale with a tag, case-blind; None where there is none, or it was taken back."""
    asked = Where("kind = 'draw-down' AND upper(json_extract(body, '$.bale')) = ?", (tag.upper(),))
    for row in reversed(rows_where(source, asked.sql, asked.values)):
        standing = stand_after([row, *corrections_of(source, row.row_id)])[row.row_id]
        if not standing.is_void:
            return row
    return None
