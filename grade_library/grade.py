"""What a grade is: limits, physical facts, names, and where each figure comes from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from grade_library.errors import GradeDataError

GROUPS = (
    "aluminium",
    "magnesium",
    "titanium",
    "zinc",
    "lead",
    "tin",
    "copper",
    "brass",
    "bronze",
    "nickel silver",
    "cupronickel",
    "stainless",
    "steel",
    "tool steel",
    "cast iron",
    "nickel",
    "cobalt",
    "refractory",
    "precious",
    "brazing",
    "magnet",
    "carbide",
    "ferroalloy",
    "minor metal",
    "master alloy",
)
"""What a yard says of a metal at first glance; every grade belongs to one group."""


class MagneticClass(StrEnum):
    """How a clean, flat, unworked piece of the grade answers a hand magnet."""

    NON = "non"
    WEAK_WHEN_WORKED = "weak when cold worked"
    WEAK = "weak"
    STRONG = "strong"
    VARIABLE = "variable"
    """Heats differ (nickel-copper near its Curie point, some gold and nickel alloys)."""


class Colour(StrEnum):
    """Colour of a fresh file mark, in the classes that a person can tell apart in yard light."""

    RED = "red"
    """Copper."""
    REDDISH = "reddish"
    """Red brass, tin bronze, rose gold."""
    YELLOW = "yellow"
    """Yellow brass."""
    GOLDEN = "golden"
    """Aluminium bronze, gold."""
    WARM_WHITE = "warm white"
    """Nickel silver, cupronickel: white with a yellow or pink tinge."""
    WHITE = "white"
    """Silver-white: aluminium, stainless, tin, silver, magnesium."""
    GREY = "grey"
    """Plain steel, nickel alloys, titanium, zinc."""
    BLUE_GREY = "blue grey"
    """Lead, babbitt."""
    DARK = "dark grey"
    """Grey iron, magnets, carbide."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What a specification says of one element's mass fraction."""

    low: float | None = None
    """Least [wt %], 0..100; None where none is stated."""
    high: float | None = None
    """Most [wt %], low..100; None where none is stated."""
    is_rest: bool = False
    """The element makes up the rest (balance); low and high may still be stated."""
    nominal: float | None = None
    """The value as published [wt %] where only a nominal one is; low and high are then a spread around it."""
    is_low_reckoned: bool = False
    """The least was worked out (from a ratio such as Ti at least 5xC) and is not printed in the source."""
    is_high_reckoned: bool = False
    """The same of the most."""

    def __post_init__(self) -> None:
        low = 0.0 if self.low is None else self.low
        high = 100.0 if self.high is None else self.high
        if not 0.0 <= low <= high <= 100.0:
            raise GradeDataError(f"limit {low:g} to {high:g} wt %: needs 0 <= min <= max <= 100")
        if (self.is_low_reckoned and self.low is None) or (self.is_high_reckoned and self.high is None):
            raise GradeDataError("an end of a limit that is not stated cannot be reckoned")
        if self.low is None and self.high is None and not self.is_rest:
            raise GradeDataError('a limit needs a minimum, a maximum or "rest"')

    @property
    def is_reckoned(self) -> bool:
        """An end of it was worked out and not seen."""
        return self.is_low_reckoned or self.is_high_reckoned


@dataclass(frozen=True, slots=True, kw_only=True)
class Citation:
    """Where a block of figures, or one figure, comes from."""

    source_id: str
    """Key in data/sources.toml; "memory" where no document was seen."""
    where: str = ""
    """Table, row or page in that source; may be empty for a one-page source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A limit that another edition or country states differently from the one used."""

    element: str
    limit: Limit
    citation: Citation
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """One grade of metal as the library knows it."""

    grade_id: str
    """Unique, never reused; the table name in its TOML file and the name shown: "304", "6061", "SAE 1050"."""
    family: str
    """Metallurgical family, one TOML file each: "austenitic stainless", "leaded brass"."""
    group: str
    """What a yard says at first glance: one of `GROUPS` ("aluminium", "stainless", "brass" ...)."""
    series: str
    """Series within the group, such as "6xxx", "300", "duplex"; equal to the family where there is none."""
    base: str
    """Symbol of the main element."""
    limits: Mapping[str, Limit]
    """Element symbol -> limit."""
    sums: Mapping[str, Limit] = field(default_factory=dict)
    """Limits on sums, keyed as written: "Si+Fe"."""
    others_each: float | None = None
    """Most of any element not named [wt %]."""
    others_total: float | None = None
    """Most of all elements not named, together [wt %]."""
    uns: str | None = None
    en: tuple[str, ...] = ()
    """EN numbers and symbols: ("1.4301", "X5CrNi18-10")."""
    names: tuple[str, ...] = ()
    """Other names by which yards and certificates call it."""
    near_names: tuple[str, ...] = ()
    """Names of grades elsewhere that are the nearest to this one and not the same: ("1.7218",) on SAE 4130. A
    look-up finds this grade by them where no grade bears the name itself, and says that it is only near."""
    density_g_cm3: float
    iacs_low_pct: float | None = None
    """Least published conductivity over all tempers [% IACS]; None where none is published or useful."""
    iacs_high_pct: float | None = None
    iacs_by_temper: str = ""
    """As published, for the card: "O 50, T4 34"."""
    magnet: MagneticClass
    colour: Colour
    look: str = ""
    """How the surface looks in a yard, in words."""
    spark: str = ""
    """Spark stream in words; empty where none is published."""
    is_cast: bool = False
    """Supplied as castings or ingot (a cast twin of a wrought grade differs by form, not by reading)."""
    forms: tuple[str, ...] = ()
    """What a sorter would see it as: ("sheet", "kitchenware", "tank")."""
    scrap: tuple[str, ...] = ()
    """Published scrap-specification entries it belongs to: ("Sabot",)."""
    cautions: tuple[str, ...] = ()
    """Ids in data/cautions.toml that apply beyond those which follow from the composition."""
    sources: Mapping[str, Citation] = field(default_factory=dict)
    """Block or single value -> citation: "limits", "limits.N", "density", "iacs", "magnet", "forms" ..."""
    differences: tuple[Difference, ...] = ()
    note: str = ""
    owner: str = "library"
    """"library", or "yard" for a grade that the yard's own file adds or overrides."""

    def citation_for(self, value: str) -> Citation:
        """Return the citation of a value such as "limits.Cr" or "density".

        Raises:
            KeyError: Neither the value nor its block is cited; the loader refuses such a grade.
        """
        return self.sources[value] if value in self.sources else self.sources[value.split(".")[0]]
