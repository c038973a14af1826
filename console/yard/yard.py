"""What a yard is: its bays, prices, people, scales and thresholds. Read from yard.toml by `yard_file`."""

import functools
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from console.readings.mapping import ReadingsMapping
from console.readings.scale.wire import ScaleWire
from console.yard.coupons.check_samples import CheckSample
from console.yard.file.console_settings import ConsoleSettings
from console.yard.file.office_table import OfficeSettings
from console.yard.loads.buyer import Buyer
from console.yard.loads.shift import Shift
from console.yard.next_check.checks import USUAL_CHECKS, SorterTime, YardCheck
from console.yard.rechecks.chosen import RecheckSettings
from grade_library.facts import Form, Surface
from grade_library.grade import Limit
from grade_library.technique import Profile, profiles

MetalKind = tuple[str, str, str]
"""Group, family and series."""


@dataclass(frozen=True, kw_only=True)
class Bay:
    """One bay: what its buyer takes, what it refuses, and what the metal is worth there."""

    code: str
    """Two or three letters to type; never an element symbol with a value, unique in the yard."""
    name: str
    accepts: tuple[str, ...]
    """Groups, families, series, grades or scrap entries, as written in yard.toml."""
    grade_ids: frozenset[str]
    """The same, resolved against the grade library."""
    kinds: frozenset[MetalKind] = frozenset()
    """The kinds of metal that an entry of `accepts` takes as a whole, whatever alloy of them it is."""
    refuses: tuple[str, ...] = ()
    material_ids: frozenset[str] = frozenset()
    """The materials among `grade_ids`."""
    refused_ids: frozenset[str] = frozenset()
    refused_kinds: frozenset[MetalKind] = frozenset()
    """The same of `refuses`."""
    element_limits: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> most that one piece may hold [wt %]."""
    refused_surfaces: frozenset[Surface] = frozenset()
    refuses_attachments: bool = False
    refused_forms: frozenset[Form] = frozenset()
    refused_coatings: frozenset[str] = frozenset()
    """Names of `grade_library.skin.coatings` that the buyer refuses, seen or suspected under a reading."""
    refused_elements: frozenset[str] = frozenset()
    """Symbols that the buyer refuses at all; the grades that hold them are among `refused_ids`."""
    refused_to: str = ""
    """Who gets what the bay refuses: the code of another bay, or a name; empty where nobody is named."""
    price_per_kg: float = 0.0
    """What the buyer pays [currency/kg]."""
    buying_per_kg: float | None = None
    """What the yard pays for it [currency/kg]; None where it is not said."""
    downgrade_per_kg: float = 0.0
    """What the metal still fetches when the buyer refuses it (may be negative)."""
    chemistry: Mapping[str, Limit] = field(default_factory=dict)
    """Symbol -> what the buyer wants of the whole bay [wt %]."""
    bale_g: int | None = None
    """Weight of a full bale or box [g]."""
    capacity_g: int | None = None
    """What the bay holds when it is full [g]."""
    learned: Mapping[str, Shift] = field(default_factory=dict)
    """Symbol -> how far its estimates lie off by what buyers found; not of yard.toml but of settled loads."""
    codes: Mapping[str, str] = field(default_factory=dict)
    """What stands on papers for its metal: kind of code -> code; never guessed."""
    is_hold: bool = False
    """The place where undecided pieces wait; it accepts everything and is worth nothing yet."""

    @functools.cached_property
    def taken_ids(self) -> frozenset[str]:
        """What is accepted and not among the refused."""
        return self.grade_ids - self.refused_ids

    @functools.cached_property
    def taken_kinds(self) -> frozenset[MetalKind]:
        """The kinds of metal of which the bay takes an alloy that the library does not list."""
        return self.kinds - self.refused_kinds

    @functools.cached_property
    def rules_mark(self) -> str:
        """A few letters that differ where the bay takes other metal."""
        taken = repr((self.is_hold, sorted(self.taken_ids), sorted(self.taken_kinds)))
        return hashlib.sha256(taken.encode()).hexdigest()[:8]

    def takes(self, grade_id: str) -> bool:
        """Return True when the buyer takes this grade: accepted, and not among the refused."""
        return self.is_hold or grade_id in self.taken_ids

    def takes_kind(self, kind: MetalKind) -> bool:
        """Return True when the buyer takes an alloy of a kind that the library does not list."""
        return self.is_hold or kind in self.taken_kinds


@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds:
    """The yard's own idea of how sure is sure."""

    settled: float = 0.90
    """Accepted share of the probability from which a placement is settled, 0.5..1."""
    leaning: float = 0.60
    """From which it is leaning; below it is open."""
    veto: float = 0.05
    """Probability of a refused grade above which a bay is ruled out."""
    at_risk: float = 0.10
    """Chance that a bay is over a limit of its buyer from which that is told, above 0 to 0.5 (own choice: one
    lot in ten)."""
    small_bay_g: int = 50_000
    """A bay that holds less says nothing of its limits [g] (own choice): the next pieces decide."""
    room_cost: float = 0.20
    """What a piece must use up of its bay's room to be told [currency] (own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale of the yard."""

    name: str
    division_g: int
    """Verification scale division e [g]."""
    largest_g: int
    """Maximum capacity [g]."""
    wire: ScaleWire | None = None
    """How a weight is taken from it by wire; None where it is typed."""
    word: str = ""
    """Behind a weight on the entry line: this scale weighed it; empty for a scale that needs no word."""
    weighs_heavy_pieces: bool = False
    """A piece too heavy for the bench scale was weighed here, without a word."""


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
    papers_head: tuple[str, ...] = ()
    """Lines below the yard's name on the papers of a load: address, permit, telephone."""
    buyers: tuple[Buyer, ...] = ()
    """Who buys loads, with their open orders."""
    words: Mapping[str, str] = field(default_factory=dict)
    """Short word of the yard's own, in small letters -> what stands on the entry line for it."""
    thresholds: Thresholds = field(default_factory=Thresholds)
    technique: str = "xrf"
    """Technique of a reading that names none."""
    techniques: Mapping[str, Profile] = field(default_factory=profiles)
    """Every technique that a reading may name, the yard's own profiles among them."""
    learn_from_runs: bool = True
    """False keeps the frequencies that closed runs have shown out of the answers."""
    learn_from_settlements: bool = True
    """False keeps what buyers found out of the chances of the bays and the residuals of the matcher."""
    terminal: str = "T1"
    """Name of this terminal in every row, run and tag; the code of the yard stands before it: "N-T1"."""
    time_zone: str = ""
    """Zone whose days and hours are meant, such as "Europe/Stockholm"; empty for that of the computer."""
    shared: bool = False
    """True lets other accounts of this computer at new files, as the system's own settings have it."""
    emergency_number: str = ""
    """Shown with cautions; empty until the yard fills it in."""
    show_money: bool = True
    """False keeps prices and worth off the sorter's screen."""
    check_samples: tuple[CheckSample, ...] = ()
    """Coupons of known composition that the analyser is checked on."""
    checks: tuple[YardCheck, ...] = USUAL_CHECKS
    """What can be tried on a piece at the bench."""
    sorter: SorterTime = field(default_factory=SorterTime)
    """What the sorter's time costs."""
    console: ConsoleSettings = field(default_factory=ConsoleSettings)
    """What the yard wants of its screen."""
    office: OfficeSettings = field(default_factory=OfficeSettings)
    """The office that gathers the rows of this yard and others."""
    priced_by_office: frozenset[str] = frozenset()
    """Codes of the bays, case-folded, whose prices the office said."""
    recheck: RecheckSettings = field(default_factory=RecheckSettings)
    """Which pieces come back for a second look."""
    readings_files: ReadingsMapping = field(default_factory=ReadingsMapping)
    """How the files are written that an analyser's software drops."""

    def bay(self, code: str) -> Bay:
        """Return the bay with this code, case-blind.

        Raises:
            KeyError: No bay has it; the message lists the codes there are.
        """
        found = self.bay_if_known(code)
        if found is not None:
            return found
        known = ", ".join(bay.code for bay in self.bays)
        raise KeyError(f'Bay "{code}" is not in yard.toml. Bays there: {known}.')

    def bay_if_known(self, code: str) -> Bay | None:
        """Return the bay with this code, case-blind; None where no bay has it."""
        return next((bay for bay in self.bays if bay.code.casefold() == code.casefold()), None)

    @property
    def has_prices(self) -> bool:
        """False in a fresh yard where no bay has a price or a downgrade price yet."""
        return any(bay.price_per_kg or bay.downgrade_per_kg for bay in self.bays if not bay.is_hold)

    @property
    def hold_bay(self) -> Bay:
        """The place where undecided pieces wait; yard_file makes sure that there is one."""
        return next(bay for bay in self.bays if bay.is_hold)
