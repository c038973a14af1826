"""The handover of a run as a record; how it looks is decided elsewhere."""

from dataclasses import dataclass
from datetime import datetime

from console.ledger.closeout import Difference, LoadDifference
from console.ledger.rows import DrawDown, Run, Ticket


@dataclass(frozen=True, slots=True, kw_only=True)
class BayLine:
    """What one bay took in."""

    code: str
    name: str
    pieces: int
    mass_g: int
    share: float
    """Part of the run's weight, 0..1."""
    is_hold: bool
    bale_g: int | None
    """Weight of a full bale [g], None when the yard names none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """One piece on hold."""

    tag: str
    run_id: str
    mass_g: int
    pieces: int
    likeliest: str
    """Grade id, or "no name"."""
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


@dataclass(frozen=True, slots=True, kw_only=True)
class FullBay:
    """A bay that holds a full bale, or nearly."""

    code: str
    name: str
    mass_g: int
    """What lies there [g]."""
    bale_g: int
    """What a full bale weighs [g]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverReport:
    """The handover of one run. All text that people typed is cleaned; all times are in one zone."""

    yard_name: str
    unit: str
    made_at: datetime
    run: Run
    workers: tuple[str, ...]
    bays: tuple[BayLine, ...]
    pieces: int
    entries: int
    mass_g: int
    holds: tuple[HoldLine, ...]
    earlier_holds: tuple[HoldLine, ...]
    """Pieces of earlier runs that still wait."""
    tickets: tuple[Ticket, ...]
    difference: Difference
    notes: tuple[str, ...]
    piece_notes: tuple[PieceLine, ...]
    overrides: tuple[PieceLine, ...]
    corrections: tuple[PieceLine, ...]
    draw_downs: tuple[DrawDown, ...]
    loads: tuple[LoadDifference, ...]
    """Every load against its own tickets; empty when loads are not kept apart."""
    full_bays: tuple[FullBay, ...]
    remarks: tuple[str, ...]
    """What else to watch: bays near a chemistry limit, the state of the check samples."""
    last_seq: int
    """Newest row of the ledger when the report was made."""
    last_hash: str
