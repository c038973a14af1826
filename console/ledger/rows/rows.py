"""The rows of the ledger and the state that is reckoned from them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any

from console.ledger.rows.correction import Correction
from console.ledger.sort_class import sort_class


class RowKind(StrEnum):
    """What happened. Rows are only ever added; a correction names the row it corrects."""

    OPEN = "open"
    PIECE = "piece"
    VOID = "void"
    UNVOID = "unvoid"
    """Takes a void back (redo)."""
    MOVE = "move"
    REWEIGH = "reweigh"
    RESOLVE = "resolve"
    """A held piece is named and goes to a bay."""
    LOAD = "load"
    """Whose load a piece belongs to was said later, or was mended."""
    FROM_HERE = "from-here"
    """Whose load the pieces from here on belong to; the body holds that and what it was before."""
    DRAW_DOWN = "draw-down"
    CHECK = "check"
    """A check sample was shot."""
    LOT = "lot"
    """A piece of a uniform lot was checked; the body holds the whole lot as it stands."""
    RECHECK = "recheck"
    """A drawn piece was looked at again: the body names it, where it was put and where it belongs."""
    NOTE = "note"
    TICKET = "ticket"
    TAKE_OVER = "take-over"
    SEEN = "seen"
    """Who works the run from here on has read what the shift before left."""
    PRICE = "price"
    """Prices of bays from here on: the body holds them as decimals, with source and currency."""
    CONSIGNMENT = "consignment"
    """Something was done to a consignment: the body says to which and what."""
    OFFICE = "office"
    """Something the office said: the body holds its word as it was signed."""
    CLOSE = "close"
    CLOCK = "clock"
    """The clock of the computer was set: the body holds by how much."""
    CONSENT = "consent"
    """Somebody's word that work goes on though the ledger is not as it was left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row as it lies on disk."""

    seq: int
    """1, 2, 3 ... in this store."""
    row_id: str
    """Time-ordered and unique over all terminals."""
    kind: RowKind
    at_utc: datetime
    person: str
    terminal: str
    run_id: str
    refers: str | None
    """row_id of the row that this one corrects."""
    bay: str | None
    grade_id: str | None
    mass_g: int | None
    pieces: int | None
    body: Mapping[str, Any]
    """Everything else, as JSON: line, note, reason of a correction. Evidence is kept apart."""
    prev_hash: str
    row_hash: str
    tag: str | None = None
    """Number written on a piece that this row puts on hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceEntry:
    """A piece as the desk hands it to the ledger."""

    bay: str
    grade_id: str | None
    """The likeliest grade; None when nobody can name it."""
    mass_g: int
    """Whole entry, > 0 [g]."""
    pieces: int
    """How many pieces, >= 1."""
    line: str
    """The entry line as typed."""
    is_on_platform: bool = False
    """Weighed on the scale of the tickets instead of the bench scale."""
    weighings: int = 1
    """How often the scale was read for the weight: 2 where a tare was taken off."""
    tag: str | None = None
    """Number to write on a held piece."""
    note: str = ""
    sureness: str = ""
    is_override: bool = False
    """The sorter chose another bay than the suggested one."""
    evidence: Mapping[str, Any] = field(default_factory=dict)
    """Facts, candidates with probabilities and reasons as they were, JSON-ready."""
    waits_for: str = ""
    """What would settle a held piece: "density", "a shot on a ground spot"."""
    load: str = ""
    """The supplier's load that the piece came with; empty when loads are not kept apart."""
    supplier: str = ""
    twins: tuple[str, ...] = ()
    """Grades that the facts could not tell from `grade_id`, likeliest first."""
    class_name: str = ""
    """Family or group that it is called by, where that is likelier than not and the grade is not."""
    as_before: str = ""
    """Row id of the piece that this one was said to be like; empty for one judged by itself."""
    recheck: str = ""
    """Mark to write on a piece that comes back for a second look; empty where it does not."""
    readings: tuple[Mapping[str, Any], ...] = ()
    """Readings from files that went into the piece: their rows, and what to offer again if it is voided."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceState:
    """A piece as it stands after all corrections."""

    row_id: str
    seq: int
    run_id: str
    at_utc: datetime
    person: str
    bay: str
    grade_id: str | None
    mass_g: int
    pieces: int
    line: str
    tag: str | None
    note: str
    sureness: str
    is_override: bool
    is_void: bool
    is_held: bool
    corrections: tuple[Correction, ...] = ()
    """What was done to it since and counts, oldest first."""
    is_taken_back: bool = False
    """The sorter undid the entry at the desk; it is void, and there is nothing more to tell of it."""
    waits_for: str = ""
    load: str = ""
    supplier: str = ""
    is_on_platform: bool = False
    weighings: int = 1
    is_corrected_late: bool = False
    """Something was corrected after its run was closed."""
    as_before: str = ""
    """Row id of the piece that this one was said to be like; empty for one judged by itself."""
    twins: tuple[str, ...] = ()
    """Grades that the facts could not tell from `grade_id`, likeliest first."""
    class_name: str = ""
    """Family or group that it is called by, where that is likelier than not and the grade is not."""

    @property
    def is_mended(self) -> bool:
        """Whether anything but whose load it belongs to was corrected."""
        return any(one.row.kind != RowKind.LOAD for one in self.corrections)

    @property
    def grade_label(self) -> str:
        """The grade with its twins, lest more be read into the name: "304 or 304L"; empty if unnamed.

        Its class where no grade is likelier than not.
        """
        twins = ", ".join(self.twins) if self.grade_id else ""
        return self.class_name or " or ".join(filter(None, (self.grade_id, twins)))

    @property
    def short_name(self) -> str:
        """The class or the grade without its twins; empty if unnamed."""
        return self.class_name or self.grade_id or ""

    @property
    def class_label(self) -> str:
        """What it is called where rows are added up, or have no room for twins; empty if unnamed."""
        return sort_class(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class BayTotal:
    """What one bay took in over a run."""

    bay: str
    pieces: int
    mass_g: int
    entries: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticket:
    """A scale ticket."""

    row_id: str
    gross_g: int
    tare_g: int
    note: str = ""
    moisture_pct: float = 0.0
    """Water in the load [% of what is left after the dirt], 0 <= moisture_pct < 100."""
    dirt_g: int = 0
    """Dirt and packing that were weighed with the load but never reach a bay [g]."""
    load: str = ""
    supplier: str = ""

    @property
    def net_g(self) -> int:
        """Net weight as the scale saw it [g]."""
        return self.gross_g - self.tare_g

    @property
    def deduction_g(self) -> int:
        """What is taken off for dirt and moisture, rounded to whole grams [g]."""
        return self.dirt_g + round((self.net_g - self.dirt_g) * self.moisture_pct / 100.0)

    @property
    def clean_g(self) -> int:
        """Metal that should be found in the bays: net less the deduction [g]."""
        return self.net_g - self.deduction_g


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawDown:
    """Metal taken out of a bay as a bale or a load."""

    row_id: str
    at_utc: datetime
    person: str
    bay: str
    mass_g: int
    reason: str = ""
    tag: str = ""
    """Written on the bale; empty where none was made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One sorting run."""

    run_id: str
    opened_utc: datetime
    opened_by: str
    person: str
    """Who works it now (the opener, or the last who took over)."""
    is_closed: bool
    closed_utc: datetime | None = None
    closed_by: str | None = None
    explanation: str = ""
    """What was said about a difference at close-out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """The sums of one run, reckoned from its rows."""

    run: Run
    pieces: int
    mass_g: int
    bays: tuple[BayTotal, ...]
    """In order of the first piece; the hold bay among them."""
    holds: tuple[PieceState, ...]
    tickets: tuple[Ticket, ...]
    notes: tuple[str, ...]
    draw_downs: tuple[DrawDown, ...] = ()
    take_overs: tuple[str, ...] = ()
    """Who worked the run in turn, the opener first."""
    entries: int = 0
    """How many entries stand, each weighed once; an entry may hold several pieces."""
    late_corrections: int = 0
    """Pieces, tickets and whatever else was corrected after the run was closed."""
    last_seq: int = 0
    """The newest row of the store when the sums were made, with its hash: printed, it proves later on
    that no row was cut off at the end."""
    last_hash: str = ""
