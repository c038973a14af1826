"""The handover of a run as a record; how it looks is decided elsewhere."""

from dataclasses import dataclass
from datetime import datetime

from console.ledger.acts.closeout import Difference, LoadDifference
from console.ledger.rows.rows import Tally
from console.reports.closing.bay_watch import BayWatch

MOST_HOLDS = 15
"""Pieces on hold that are shown in full, the newest; of older ones the tags: the handover is one page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayLine:
    """What one bay took in."""

    code: str
    name: str
    pieces: int
    mass_g: int
    share: float
    """Part of the run's weight, 0..1."""
    worth_cents: int | None
    """At the prices of the day [hundredths of the currency]; None on hold, and where the yard hides money."""
    is_hold: bool
    bale_g: int | None
    """Weight of a full bale [g], None when the yard names none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """One piece on hold."""

    tag: str
    bay: str
    """Where it waits."""
    run_id: str
    mass_g: int
    pieces: int
    likeliest: str
    """Grade or sort class, or "no name"."""
    waits_for: str
    line: str
    person: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLine:
    """A piece that something is said about."""

    at: datetime
    bay: str
    mass_g: int
    line: str
    person: str
    said: tuple[str, ...]
    """Corrections in words, or the note."""
    is_late: bool = False
    """Corrected after the run was closed."""
    suggested: str = ""
    """Bay that was suggested, where the sorter chose another one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLines:
    """Pieces that something is said about: as many as a page holds."""

    shown: tuple[PieceLine, ...] = ()
    """Oldest first; where there are too many, those corrected after close-out and then the newest."""
    count: int = 0
    """How many there are, shown or not."""

    @property
    def counted(self) -> str:
        """How many, for a title: "3", or "newest 10 of 84"."""
        left_out = self.count > len(self.shown)
        return f"newest {len(self.shown)} of {self.count}" if left_out else str(self.count)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverReport:
    """The handover of one run. All text that people typed is cleaned; all times are in one zone."""

    yard_name: str
    unit: str
    currency: str
    made_at: datetime
    sums: Tally
    """Of the run, as its rows add up; what people typed in it is cleaned where it is shown."""
    workers: tuple[str, ...]
    bays: tuple[BayLine, ...]
    holds: tuple[HoldLine, ...]
    earlier_holds: tuple[HoldLine, ...]
    """Pieces of earlier runs that still wait."""
    difference: Difference
    notes: tuple[str, ...]
    piece_notes: PieceLines
    overrides: PieceLines
    corrections: PieceLines
    loads: tuple[LoadDifference, ...]
    """Every load against its own tickets; empty when loads are not kept apart."""
    bay_watch: tuple[BayWatch, ...]
    """Bays full or nearly, and near a limit of their buyer."""
    checks: tuple[str, ...]
    """How every check sample stands and what to do, one paragraph each."""
    unfinished: tuple[str, ...]
    """Uniform lots whose checks were not ended, and consignments that did not leave; one sentence each."""
    remarks: tuple[str, ...]
    """What else to watch, such as holds that were signed for."""
    verified: str = "NOT VERIFIED"
    """How far the chain of the ledger was looked along, in words."""

    @property
    def worth_cents(self) -> int | None:
        """Worth of all that has a price [hundredths of the currency]; None where nothing has one."""
        known = [bay.worth_cents for bay in self.bays if bay.worth_cents is not None]
        return sum(known) if known else None
