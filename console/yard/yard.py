"""What a yard is: its bays, prices, people, scales and thresholds. Read from yard.toml by `yard_file`."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from grade_library.facts import Surface


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """One bay: what its buyer takes, what it refuses, and what the metal is worth there."""

    code: str
    """Two or three letters to type; never an element symbol with a value, unique in the yard."""
    name: str
    accepts: tuple[str, ...]
    """Groups, families, series, grades or scrap entries, as written in yard.toml."""
    grade_ids: frozenset[str]
    """The same, resolved against the grade library."""
    refuses: tuple[str, ...] = ()
    refused_ids: frozenset[str] = frozenset()
    element_limits: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> most that one piece may hold [wt %]."""
    refused_surfaces: frozenset[Surface] = frozenset()
    refuses_attachments: bool = False
    price_per_kg: float = 0.0
    downgrade_per_kg: float = 0.0
    """What the metal still fetches when the buyer refuses it (may be negative)."""
    bale_g: int | None = None
    """Weight of a full bale or box [g]."""
    is_hold: bool = False
    """The place where undecided pieces wait; it accepts everything and is worth nothing yet."""

    def takes(self, grade_id: str) -> bool:
        """Return True when the buyer takes this grade: accepted, and not among the refused."""
        return self.is_hold or (grade_id in self.grade_ids and grade_id not in self.refused_ids)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds:
    """The yard's own idea of how sure is sure."""

    settled: float = 0.90
    """Accepted share of the probability from which a placement is settled, 0.5..1."""
    leaning: float = 0.60
    """From which it is leaning; below it is open."""
    veto: float = 0.05
    """Probability of a refused grade above which a bay is ruled out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale of the yard."""

    name: str
    division_g: int
    """Verification scale division e [g]."""
    largest_g: int
    """Maximum capacity [g]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Yard:
    """A yard as its yard.toml describes it."""

    folder: Path
    name: str
    weight_unit: str
    """ "kg", "lb", "t" (metric ton) or "short ton": the unit of a bare number, and of every weight shown."""
    currency: str
    bays: tuple[Bay, ...]
    people: tuple[str, ...]
    piece_scale: Scale
    """The bench scale: bounds a piece's weight."""
    ticket_scale: Scale
    """The truck or platform scale that prints the tickets."""
    thresholds: Thresholds = field(default_factory=Thresholds)
    technique: str = "xrf"
    """Technique of a reading that names none."""
    terminal: str = "T1"
    """Name of this terminal in every row."""
    emergency_number: str = ""
    """Shown with cautions; empty until the yard fills it in."""

    def bay(self, code: str) -> Bay:
        """Return the bay with this code, case-blind.

        Raises:
            KeyError: No bay has it; the message lists the codes there are.
        """
        for bay in self.bays:
            if bay.code.casefold() == code.casefold():
                return bay
        known = ", ".join(bay.code for bay in self.bays)
        raise KeyError(f'Bay "{code}" is not in yard.toml. Bays there: {known}.')

    @property
    def hold_bay(self) -> Bay:
        """The place where undecided pieces wait; yard_file makes sure that there is one."""
        return next(bay for bay in self.bays if bay.is_hold)
