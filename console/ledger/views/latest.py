"""The newest pieces of a run, and how much of it lies before a moment."""

from datetime import datetime

from console.ledger.rows.connection import Readable, one_view
from console.ledger.rows.reading import rows_where
from console.ledger.rows.row_text import time_of, time_text
from console.ledger.rows.rows import PieceState
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.piece_state import corrections_of, state_of


def latest_pieces(source: Readable, run_id: str, count: int) -> tuple[PieceState, ...]:
    """Return the pieces of a run that were entered last, newest first, as they stand now."""
    # By the row number: the index of runs would have to sort every piece of the run for a handful.
    newest = (
        "seq IN (SELECT seq FROM ledger NOT INDEXED WHERE run_id = ? AND kind = 'piece' "
        "ORDER BY seq DESC LIMIT ?)"
    )
    with one_view(source):
        pieces = rows_where(source, newest, (run_id, count))
        return tuple(state_of(piece, corrections_of(source, piece.row_id)) for piece in reversed(pieces))


def entered_before(source: Readable, run_id: str, at: datetime) -> tuple[int, datetime | None]:
    """Return the grams entered in a run before a moment, and when its first piece from then on came.

    Weights count as they were entered, voided pieces not.
    """
    of_run = "FROM ledger AS piece WHERE run_id = ? AND kind = 'piece'"
    with told_plainly(source.path):
        grams = source.connection.execute(
            f"SELECT coalesce(sum(mass_g), 0) {of_run} AND at_utc < ? "
            "AND NOT EXISTS (SELECT 1 FROM ledger WHERE refers = piece.row_id AND kind = 'void')",
            (run_id, time_text(at)),
        ).fetchone()[0]
        first = source.connection.execute(
            f"SELECT min(at_utc) {of_run} AND at_utc >= ?", (run_id, time_text(at))
        ).fetchone()[0]
    return int(grams), None if first is None else time_of(first)
