"""What lies in the bays, read once and kept up to date row by row; warns before headroom is used up."""

import threading
from collections.abc import Mapping
from dataclasses import dataclass

from console.desk.bays.kept_bays import KeptBays, keep, kept
from console.desk.piece.considering import Consideration
from console.desk.run_pages import newest_seq
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.queries import LedgerReader, rows_where
from console.ledger.views.bay_changes import BayChanges
from console.ledger.views.bay_metal import bay_metal
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content, content_now
from console.yard.chemistry.headroom import (
    BayChemistry,
    TightestLimit,
    bay_chemistry,
    tightest_limit,
    warning_before,
)
from console.yard.chemistry.room_cost import RoomCost, RoomUse, room_cost, room_uses
from console.yard.yard import Bay, Yard
from grade_library.library import GradeLibrary


@dataclass(frozen=True, slots=True)
class BayStanding:
    """How one bay stands now, over all runs."""

    lying_g: float
    """What lies there [g]."""
    tightest: TightestLimit | None
    """The limit of the buyer that gives out first; None for an empty bay and one without limits."""
    chemistry: BayChemistry
    """What the metal is made of, against every limit."""


class BayBook:
    """The sums of every bay as the newest row of the store leaves them."""

    def __init__(self, source: LedgerSource, yard: Yard, library: GradeLibrary) -> None:
        self._source = source
        self._yard = yard
        self._library = library
        self._sums: Mapping[str, BaySums] | None = None
        self._seen = 0
        self._standing: dict[str, tuple[BaySums, BayStanding]] = {}
        self._uses: dict[str, tuple[RoomUse, ...]] = {}
        """Code of a bay -> the bounds that money hangs on, worked out when first asked for."""
        self._changing = threading.Lock()
        """Keys ask for a warning while a thread reads: no row may be taken in twice."""

    @property
    def is_ready(self) -> bool:
        """False until `read` was called, and again after an act that cannot be followed."""
        with self._changing:
            self._follow(self._source)
            return self._sums is not None

    def read(self) -> Mapping[str, BaySums]:
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
        with self._changing:
            self._sums, self._seen = sums, seen
        return sums

    def sums(self) -> Mapping[str, BaySums]:
        """Return the sums of every bay, read now where they are not at hand."""
        return known if self.is_ready and (known := self._sums) is not None else self.read()

    def standing(self) -> dict[str, BayStanding]:
        """Return what lies in every bay and how it stands with its buyer's limits; meant for a thread.

        Reads by a connection of its own: a row that is being written is not seen, and the store may be closed
        meanwhile. A bay is reckoned again only after something changed in it.

        Raises:
            StoreError: The store cannot be read.
        """
        with LedgerReader.open(self._source.path) as reader, self._changing:
            self._follow(reader)
            known = self._sums
        return {code: self._standing_of(code, sums) for code, sums in (known or self.read()).items()}

    def _standing_of(self, code: str, sums: BaySums) -> BayStanding:
        was, standing = self._standing.get(code, (None, None))
        if standing is None or was is not sums:
            bay = self._yard.bay(code)
            standing = BayStanding(
                lying_g=sums.mass_g,
                tightest=tightest_limit(bay, sums, self._yard.thresholds),
                chemistry=bay_chemistry(bay, sums),
            )
            self._standing[code] = (sums, standing)
        return standing

    def keep(self) -> None:
        """Keep the sums beside the store for the next start, where they are at hand."""
        if self.is_ready and (known := self._sums) is not None:
            keep(self._source, self._yard, self._library, KeptBays(seen=self._seen, sums=known))

    def warning(self, considered: Consideration, bay: Bay) -> str:
        """Return what would go wrong with a bay if the piece were tallied into it; empty when nothing would.

        Empty too while the bays have not been read, and for a piece without a weight.
        """
        if not bay.chemistry or (met := self._met(considered, bay)) is None:
            return ""
        return warning_before(bay, *met, self._yard.thresholds)

    def room_cost(self, considered: Consideration, bay: Bay) -> RoomCost | None:
        """Return what the piece would use up of the room of a bay; None for nothing, and as `warning`.

        A bay too small to matter has no room yet that anybody could count on.
        """
        if bay.code not in self._uses:
            self._uses[bay.code] = room_uses(bay, self._yard)
        uses = self._uses[bay.code]
        if not uses or (met := self._met(considered, bay)) is None:
            return None
        return None if met[0].mass_g < self._yard.thresholds.small_bay_g else room_cost(uses, *met)

    def _met(self, considered: Consideration, bay: Bay) -> tuple[BaySums, Content] | None:
        """Return what lies in a bay and the piece as metal; None while the bays or the weight are unknown."""
        mass_g = considered.parsed.mass_g
        if mass_g is None or not self.is_ready or (known := self._sums) is None:
            return None
        content = content_now(
            considered.verdict, considered.parsed.facts, mass_g, considered.parsed.count, bay, self._library
        )
        return known[bay.code], content

    def _follow(self, source: LedgerSource) -> None:
        """Take in the rows that came since; forget everything where they cannot be followed."""
        if self._sums is None:
            return
        newest = newest_seq(source)
        if newest > self._seen:
            self._sums = self._followed(source, self._sums, self._seen)
            self._seen = newest

    def _followed(
        self, source: LedgerSource, sums: Mapping[str, BaySums], seen: int
    ) -> Mapping[str, BaySums] | None:
        """Return the sums after all rows beyond `seen`, None where they cannot be followed."""
        changes = BayChanges(source, self._yard, self._library, sums, seen)
        rows = rows_where(source, "seq > ?", (seen,))
        return changes.sums if changes.follow(rows) else None
