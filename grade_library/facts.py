"""What is known of one piece: readings and bench facts, before anything is concluded from them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from grade_library.errors import ObservationError
from grade_library.grade import Colour

SUM_LIMIT_PCT = 101.0
"""A reading above this sum is refused: rounding and calibration explain no more (common practice)."""


class MagnetPull(StrEnum):
    """How a hand magnet answers."""

    NONE = "none"
    WEAK = "weak"
    STRONG = "strong"


class Heft(StrEnum):
    """How heavy the piece feels for its size; the usual density band behind each word [g/cm3]."""

    VERY_LIGHT = "very light"
    """Magnesium: below about 2.2."""
    LIGHT = "light"
    """Aluminium: about 2.6 to 3."""
    MIDDLING = "middling"
    """Titanium: about 4 to 5.5."""
    NORMAL = "normal"
    """Iron, zinc, copper, nickel: about 6.5 to 9.2."""
    HEAVY = "heavy"
    """Lead, tungsten, precious: above about 9.5."""


class Form(StrEnum):
    """What shape the piece has, as far as it speaks for cast, wrought or a use."""

    SHEET = "sheet"
    PLATE = "plate"
    FOIL = "foil"
    EXTRUSION = "extrusion"
    BAR = "bar"
    WIRE = "wire"
    CABLE = "cable"
    TUBE = "tube"
    CASTING = "casting"
    FORGING = "forging"
    FASTENER = "fastener"
    FITTING = "fitting"
    """Valve, tap, pipe fitting."""
    SPRING = "spring"
    TOOL = "tool"
    WHEEL = "wheel"
    RADIATOR = "radiator"
    CAN = "can"
    TURNINGS = "turnings"
    STRUCTURAL = "structural"
    """Beam, angle, rail."""


class Surface(StrEnum):
    """What covers the metal."""

    BARE = "bare"
    PAINTED = "painted"
    PLATED = "plated"
    ANODISED = "anodised"
    GALVANISED = "galvanised"
    RUSTY = "rusty"
    DIRTY = "dirty"
    OILY = "oily"


class Spark(StrEnum):
    """The spark stream on a clean wheel."""

    NONE = "none"
    SHORT_DARK = "short dark"
    """Short, thin, red to orange, no bursts: nickel alloys, high-alloy stainless."""
    STRAW = "straw"
    """Orange to straw, few or no bursts: stainless, low carbon."""
    BURSTING = "bursting"
    """Long, bright, forked bursts: carbon and tool steels."""
    WHITE = "white"
    """Brilliant white: titanium."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A measured value with its standard uncertainty, in the unit that its field names."""

    value: float
    sigma: float | None = None
    """Standard uncertainty (k = 1), > 0; None takes the usual one of the method."""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and self.value > 0):
            raise ObservationError(f"measured value {self.value:g}: needs a number above 0")
        if self.sigma is not None and not (math.isfinite(self.sigma) and self.sigma > 0):
            raise ObservationError(f"uncertainty {self.sigma:g}: needs a number above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One analyser reading or certificate, element by element [wt %]."""

    values: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> measured mass fraction [wt %], 0..100."""
    below: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> detection limit [wt %] of an element looked for and not found."""
    sigma: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> standard uncertainty [wt %] stated by the instrument; the technique's model elsewhere."""
    technique: str = "xrf"
    """Key of a technique profile: "xrf", "libs", "lab" or one of the yard's own."""

    def __post_init__(self) -> None:
        for symbol, value in [*self.values.items(), *self.below.items(), *self.sigma.items()]:
            if not (math.isfinite(value) and 0.0 <= value <= 100.0):
                raise ObservationError(f"{symbol} {value:g} wt %: needs 0 to 100")
        total = sum(self.values.values())
        if total > SUM_LIMIT_PCT:
            largest = max(self.values, key=lambda symbol: self.values[symbol])
            raise ObservationError(
                f"{largest} {self.values[largest]:g}: typed twice or a slipped point? "
                f"Readings sum to {total:.1f} wt % (at most {SUM_LIMIT_PCT:g})"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One reading in the order taken on the piece."""

    reading: Reading
    is_ground: bool = False
    """The spot was ground or filed just before this shot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchFacts:
    """What hand, eye and simple tools say; None for not tried."""

    magnet: MagnetPull | None = None
    colour: Colour | None = None
    """Colour of the surface as it lies there."""
    scratch: Colour | None = None
    """Colour of a fresh file or scratch mark."""
    heft: Heft | None = None
    form: Form | None = None
    surfaces: frozenset[Surface] = frozenset()
    has_attachments: bool = False
    """Iron, plastic, rubber or another metal hangs on the piece."""
    spark: Spark | None = None
    density_g_cm3: Measured | None = None
    iacs_pct: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What somebody says the piece is: a stamp, a label, a customer's word or the sorter's own eye."""

    text: str
    """As typed."""
    label: str
    """As understood: "304", "yellow brass", "300 series"."""
    grade_ids: frozenset[str]
    """The grades that the words can mean; empty only beside materials."""
    is_exact: bool = True
    """False where the name was only close to what was typed."""
    material_ids: tuple[str, ...] = ()
    """The materials that the words can mean, the likelier first. Where grades stand beside them, they are
    what
    the material is made of."""
    ask: str = ""
    """What has to be asked back before the words mean anything: "aluminium or tinplate?"; empty as a rule."""
    offers: tuple[str, ...] = ()
    """Names that answer `ask`, the likelier first."""
    remark: str = ""
    """What else the words say: that the very grade is known by its number and not in the library."""
    is_near: bool = False
    """The name belongs to a grade elsewhere that is only near to those meant (`Grade.near_names`)."""
    is_usual: bool = False
    """The words name a thing, and the grades are the metal that it usually is: one that is said decides."""
    tongue: str = ""
    """Language of the name of a thing or material (en, de, fr, es, it); empty where it is of several."""
    form: Form | None = None
    """The form that the words tell beside the metal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceFacts:
    """All that is known of one piece."""

    shots: tuple[Shot, ...] = ()
    bench: BenchFacts = field(default_factory=BenchFacts)
    claim: Claim | None = None

    @property
    def is_empty(self) -> bool:
        """True when nothing at all speaks for one grade or another."""
        return not self.shots and self.bench == BenchFacts() and self.claim is None
