"""The pieces of a run read page by page, newest first, and again only those that changed."""

from collections.abc import Iterator
from pathlib import Path

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.queries import LedgerReader, rows_where
from console.ledger.rows.rows import PieceState
from console.ledger.rows.runs import Where
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.piece_state import piece_state, standing_where, state_of
from console.ledger.views.replay import CORRECTIONS

PAGE = 1000
"""Rows of the store looked at for one page: some 50 ms of a slow computer."""


class RunPages:
    """The newest page of a run, then the older ones, then whatever changes."""

    def __init__(self, source: LedgerSource, run_id: str) -> None:
        self.run_id = run_id
        self.is_whole = False
        """Whether the newest page is all of it."""
        self._source = source
        self._seen = 0
        """Newest row of the store that was looked at."""

    def newest(self) -> list[PieceState]:
        """Return the newest page."""
        self._seen = newest_seq(self._source)
        self.is_whole = self._seen - PAGE < first_seq(self._source, self.run_id)
        return page_of(self._source, self.run_id, self._seen)

    def older(self) -> Iterator[list[PieceState]]:
        """Yield the pages below the newest; for a thread."""
        return pages_below(self._source.path, self.run_id, self._seen - PAGE)

    def changed(self) -> list[PieceState]:
        """Return every piece, of whichever run, that changed since this was last asked."""
        pieces = changed_since(self._source, self._seen)
        self._seen = newest_seq(self._source)
        return pieces


def newest_seq(source: LedgerSource) -> int:
    """Return the number of the newest row of the store, 0 for an empty one."""
    with told_plainly(source.path):
        row = source.connection.execute("SELECT max(seq) FROM ledger").fetchone()
    return int(row[0] or 0)


def first_seq(source: LedgerSource, run_id: str) -> int:
    """Return the number of the first row of a run, 0 where there is none."""
    with told_plainly(source.path):
        row = source.connection.execute(
            "SELECT min(seq) FROM ledger INDEXED BY ledger_by_run WHERE run_id = ?", (run_id,)
        ).fetchone()
    return int(row[0] or 0)


def page_of(source: LedgerSource, run_id: str, upto: int) -> list[PieceState]:
    """Return the pieces of a run among the PAGE rows up to `upto`, newest first, as they stand now."""
    span = (run_id, upto - PAGE, upto)
    pieces_here = "run_id = ? AND seq > ? AND seq <= ? AND kind = 'piece'"
    corrections = Where(f"refers IN (SELECT row_id FROM ledger WHERE {pieces_here})", span)
    return [state_of(one) for one in reversed(standing_where(source, Where(pieces_here, span), corrections))]


def pages_below(store: Path, run_id: str, upto: int) -> Iterator[list[PieceState]]:
    """Yield the pages of a run below a row, newest first, by a connection of their own.

    Meant for a thread: the writer is neither held up nor waited for.

    Args:
        store: The store's file.
        run_id: The run.
        upto: Rows above it are passed over.

    Raises:
        StoreError: The store cannot be read.
    """
    with LedgerReader.open(store) as reader:
        first = first_seq(reader, run_id)
        while upto >= first > 0:
            yield page_of(reader, run_id, upto)
            upto -= PAGE


def changed_since(source: LedgerSource, seq: int) -> list[PieceState]:
    """Return every piece that a row after `seq` entered or corrected, oldest row first, as it stands now."""
    with one_view(source):
        rows = rows_where(source, f"seq > ? AND (kind = 'piece' OR {CORRECTIONS})", (seq,))
        row_ids = dict.fromkeys(row.refers or row.row_id for row in rows)
        states = [piece_state(source, row_id) for row_id in row_ids]
    return [state for state in states if state is not None]
