"""A bale that was taken out of a bay, found by its tag."""

from console.ground.scanned import BARE_SQL, bare_tag
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import Row
from console.ledger.rows.runs import Where
from console.ledger.views.piece_state import corrections_of
from console.ledger.views.replay import stand_after

NO_BALE = 'No bale has the tag "{tag}". Tags stand on the sheets of the bales, such as T1-ALO-0001.'


def bale_row(source: LedgerSource, tag: str) -> Row | None:
    """Return the row of the bale with a tag, typed or scanned; None for no bale, or one taken back."""
    bare = BARE_SQL.format(column="json_extract(body, '$.bale')")
    asked = Where(f"kind = 'draw-down' AND {bare} = ?", (bare_tag(tag),))
    for row in reversed(rows_where(source, asked.sql, asked.values)):
        standing = stand_after([row, *corrections_of(source, row.row_id)])[row.row_id]
        if not standing.is_void:
            return row
    return None
