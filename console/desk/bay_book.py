"""What lies in the bays, read once and kept up to date piece by piece; warns before headroom is used up."""

from collections.abc import Mapping

from console.desk.considering import Consideration
from console.desk.run_pages import newest_seq
from console.ledger.bay_metal import bay_metal
from console.ledger.connection import one_view
from console.ledger.reading import LedgerReader, evidence_of, rows_where
from console.ledger.rows import Row, RowKind
from console.ledger.store import Ledger
from console.yard.chemistry import BaySums, content_now, content_of
from console.yard.headroom import warning_before
from console.yard.yard import Bay, Yard
from grade_library.library import GradeLibrary

_NO_METAL = frozenset(
    {
        RowKind.OPEN, RowKind.CLOSE, RowKind.NOTE, RowKind.TICKET, RowKind.TAKE_OVER,
        RowKind.CHECK, RowKind.LOT,
    }
)  # fmt: skip


class BayBook:
    """The sums of every bay as the newest row of the store leaves them."""

    def __init__(self, ledger: Ledger, yard: Yard, library: GradeLibrary) -> None:
        self._ledger = ledger
        self._yard = yard
        self._library = library
        self._sums: dict[str, BaySums] | None = None
        self._seen = 0

    @property
    def is_ready(self) -> bool:
        """False until `read` was called, and again after an act that takes metal out or changes it."""
        self._follow()
        return self._sums is not None

    def read(self) -> None:
        """Read every bay anew by a connection of its own; meant for a thread, seconds for 100,000 pieces.

        Raises:
            StoreError: The store cannot be read.
        """
        with LedgerReader.open(self._ledger.path) as reader, one_view(reader):
            seen = newest_seq(reader)
            sums = bay_metal(reader, self._yard, self._library)
        self._sums, self._seen = sums, seen

    def sums(self) -> Mapping[str, BaySums]:
        """Return the sums of every bay, read now where they are not at hand."""
        if not self.is_ready:
            self.read()
        assert self._sums is not None
        return self._sums

    def warning(self, considered: Consideration, bay: Bay) -> str:
        """Return what would go wrong with a bay if the piece were tallied into it; empty when nothing would.

        Empty too while the bays have not been read, and for a piece without a weight.
        """
        mass_g = considered.parsed.mass_g
        if mass_g is None or not bay.chemistry or not self.is_ready:
            return ""
        assert self._sums is not None
        content = content_now(
            considered.verdict, considered.parsed.facts, mass_g, considered.parsed.count, bay, self._library
        )
        return warning_before(bay, self._sums[bay.code], content)

    def _follow(self) -> None:
        """Add the pieces that came since; forget everything after any other change of what lies there."""
        if self._sums is None:
            return
        newest = newest_seq(self._ledger)
        if newest == self._seen:
            return
        for row in rows_where(self._ledger, "seq > ?", (self._seen,)):
            if row.kind is RowKind.PIECE:
                self._add(row)
            elif row.kind not in _NO_METAL:
                self._sums = None
                return
        self._seen = newest

    def _add(self, row: Row) -> None:
        assert self._sums is not None and row.bay is not None
        if row.bay not in self._sums:
            return
        bay = self._yard.bay(row.bay)
        content = content_of(
            evidence_of(self._ledger, row.row_id),
            mass_g=row.mass_g or 0,
            pieces=row.pieces or 1,
            grade_id=row.grade_id,
            bay=bay,
            library=self._library,
        )
        self._sums[bay.code] = self._sums[bay.code].plus(content, bay)
