"""What lies in the bays, read once and kept up to date row by row; warns before headroom is used up."""

from collections.abc import Mapping

from console.desk.considering import Consideration
from console.desk.kept_bays import KeptBays, keep, kept
from console.desk.run_pages import newest_seq
from console.ledger.bay_changes import BayChanges
from console.ledger.bay_metal import bay_metal
from console.ledger.connection import Readable, one_view
from console.ledger.reading import LedgerReader, rows_where
from console.yard.chemistry import BaySums, content_now
from console.yard.headroom import warning_before
from console.yard.yard import Bay, Yard
from grade_library.library import GradeLibrary


class BayBook:
    """The sums of every bay as the newest row of the store leaves them."""

    def __init__(self, source: Readable, yard: Yard, library: GradeLibrary) -> None:
        self._source = source
        self._yard = yard
        self._library = library
        self._sums: Mapping[str, BaySums] | None = None
        self._seen = 0

    @property
    def is_ready(self) -> bool:
        """False until `read` was called, and again after an act that cannot be followed."""
        self._follow()
        return self._sums is not None

    def read(self) -> None:
        """Read every bay by a connection of its own, from the sums kept where they hold; meant for a thread.

        Some milliseconds from kept sums; without them a quarter of a millisecond for every piece that lies in
        the bays.

        Raises:
            StoreError: The store cannot be read.
        """
        with LedgerReader.open(self._source.path) as reader, one_view(reader):
            seen = newest_seq(reader)
            before = kept(reader, self._yard, self._library)
            sums = self._followed(reader, before.sums, before.seen) if before else None
            if sums is None:
                sums = bay_metal(reader, self._yard, self._library)
        self._sums, self._seen = sums, seen

    def sums(self) -> Mapping[str, BaySums]:
        """Return the sums of every bay, read now where they are not at hand."""
        if not self.is_ready:
            self.read()
        assert self._sums is not None
        return self._sums

    def keep(self) -> None:
        """Keep the sums beside the store for the next start, where they are at hand."""
        if self.is_ready:
            assert self._sums is not None
            keep(self._source, self._yard, self._library, KeptBays(seen=self._seen, sums=self._sums))

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
        """Take in the rows that came since; forget everything where they cannot be followed."""
        if self._sums is None:
            return
        newest = newest_seq(self._source)
        if newest > self._seen:
            self._sums = self._followed(self._source, self._sums, self._seen)
            self._seen = newest

    def _followed(
        self, source: Readable, sums: Mapping[str, BaySums], seen: int
    ) -> Mapping[str, BaySums] | None:
        """Return the sums after all rows beyond `seen`, None where they cannot be followed."""
        changes = BayChanges(source, self._yard, self._library, sums, seen)
        rows = rows_where(source, "seq > ?", (seen,))
        return changes.sums if changes.follow(rows) else None
