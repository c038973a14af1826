"""The newest pieces of a run, and how much of it lies before a moment."""

from datetime import datetime

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.queries import rows_where
from console.ledger.rows.row_text import time_of, time_text
from console.ledger.rows.rows import PieceState, RowKind
from console.ledger.rows.runs import of_run
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.piece_state import standing_of, state_of
from console.ledger.views.sums import corrected


def latest_pieces(source: LedgerSource, run_id: str, count: int) -> tuple[PieceState, ...]:
    """Return the pieces of a run that were entered last, newest first, as they stand now."""
    # By the row number: the index of runs would have to sort every piece of the run for a handful.
    newest = (
        "seq IN (SELECT seq FROM ledger NOT INDEXED WHERE run_id = ? AND kind = 'piece' "
        "ORDER BY seq DESC LIMIT ?)"
    )
    with one_view(source):
        pieces = rows_where(source, newest, (run_id, count))
        return tuple(state_of(standing_of(source, piece)) for piece in reversed(pieces))


def newest_standing(source: LedgerSource, run_id: str) -> PieceState | None:
    """Return the piece of a run entered last that stands: not undone, not void; None where none does.

    This is what "the last piece" means wherever it is spoken of.
    """
    count, found = 1, latest_pieces(source, run_id, 1)
    while True:
        standing = next((piece for piece in found if not piece.is_void), None)
        if standing is not None or len(found) < count:
            return standing
        count *= 8
        found = latest_pieces(source, run_id, count)


def entered_before(source: LedgerSource, run_id: str, at: datetime) -> tuple[int, datetime | None]:
    """Return the grams entered in a run before a moment, as they stand now, and when its next piece came."""
    of_pieces, before = "FROM ledger WHERE run_id = ? AND kind = 'piece'", (run_id, time_text(at))
    with one_view(source), told_plainly(source.path):
        run = source.connection.execute(f"SELECT coalesce(sum(mass_g), 0) {of_pieces} AND at_utc < ?", before)
        grams = int(run.fetchone()[0])
        run = source.connection.execute(f"SELECT min(at_utc) {of_pieces} AND at_utc >= ?", before)
        first = run.fetchone()[0]
        for one in corrected(source, of_run(run_id)).values():
            if one.entered.kind == RowKind.PIECE and one.entered.at_utc < at:
                grams += (0 if one.is_void else one.mass_g) - (one.entered.mass_g or 0)
    return grams, None if first is None else time_of(first)
