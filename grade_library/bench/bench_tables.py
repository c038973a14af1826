"""Error rates of observations at the bench: what each kind of metal shows, and how often a person sees it
wrong.

Every figure here is from memory: how a practised sorter fares, rounded. The order of the figures matters
more than their size, since the observations are few and each is allowed to be wrong.
"""

from collections.abc import Callable, Mapping

from grade_library.facts import Form, Heft, Spark, Surface
from grade_library.grade import Colour, Grade, MagneticClass

MAGNET_ODDS: Mapping[MagneticClass, tuple[float, float, float]] = {
    MagneticClass.NON: (0.9740, 0.0245, 0.0015),
    MagneticClass.WEAK_WHEN_WORKED: (0.720, 0.275, 0.005),
    MagneticClass.WEAK: (0.25, 0.65, 0.10),
    MagneticClass.STRONG: (0.008, 0.052, 0.94),
    MagneticClass.VARIABLE: (0.45, 0.30, 0.25),
}
"""Chance that the magnet is found to pull: none, weak, strong. A strong pull is hard to take for anything
else: where a metal does not hold a magnet, something else pulls."""

COLOUR_ORDER = tuple(Colour)

_NEAR: Mapping[Colour, Mapping[Colour, float]] = {
    Colour.RED: {Colour.REDDISH: 0.10},
    Colour.REDDISH: {Colour.RED: 0.12, Colour.YELLOW: 0.08, Colour.GOLDEN: 0.10},
    Colour.YELLOW: {Colour.GOLDEN: 0.12, Colour.REDDISH: 0.05},
    Colour.GOLDEN: {Colour.YELLOW: 0.25, Colour.REDDISH: 0.12},
    Colour.WARM_WHITE: {Colour.WHITE: 0.25, Colour.GREY: 0.08, Colour.YELLOW: 0.03},
    Colour.WHITE: {Colour.GREY: 0.22, Colour.WARM_WHITE: 0.04},
    Colour.GREY: {Colour.WHITE: 0.25, Colour.DARK: 0.10, Colour.BLUE_GREY: 0.05, Colour.WARM_WHITE: 0.02},
    Colour.BLUE_GREY: {Colour.GREY: 0.25, Colour.DARK: 0.10, Colour.WHITE: 0.05},
    Colour.DARK: {Colour.GREY: 0.35, Colour.BLUE_GREY: 0.05},
}
_STRANGE_COLOUR = 0.002
"""Chance of each colour that is not near: a slip, or a plating not noticed."""


def colour_odds(colour: Colour) -> list[float]:
    """Return the chance that a fresh mark of this colour is called each colour, in the order of
    `COLOUR_ORDER`."""
    near = _NEAR[colour]
    rest = 1.0 - sum(near.values()) - _STRANGE_COLOUR * (len(COLOUR_ORDER) - 1 - len(near))
    return [rest if other is colour else near.get(other, _STRANGE_COLOUR) for other in COLOUR_ORDER]


HEFT_BANDS: Mapping[Heft, tuple[float, float]] = {
    Heft.VERY_LIGHT: (0.4, 2.2),
    Heft.LIGHT: (2.2, 3.6),
    Heft.MIDDLING: (3.6, 6.0),
    Heft.NORMAL: (6.0, 9.6),
    Heft.HEAVY: (9.6, 25.0),
}
"""Densities behind each word [g/cm3]."""

COVERED = frozenset({Surface.PAINTED, Surface.PLATED, Surface.GALVANISED, Surface.RUSTY, Surface.DIRTY})
"""Coverings under which the colour that lies there says nothing of the metal."""

CAST_FORMS: Mapping[Form, float] = {Form.CASTING: 0.04, Form.WHEEL: 0.4, Form.FITTING: 0.5}
"""Relative chance that a wrought grade comes in this form."""
WROUGHT_FORMS: Mapping[Form, float] = {
    Form.SHEET: 0.02,
    Form.PLATE: 0.05,
    Form.FOIL: 0.01,
    Form.EXTRUSION: 0.01,
    Form.BAR: 0.25,
    Form.WIRE: 0.01,
    Form.CABLE: 0.01,
    Form.TUBE: 0.15,
    Form.FORGING: 0.05,
    Form.FASTENER: 0.05,
    Form.SPRING: 0.02,
    Form.CAN: 0.01,
    Form.STRUCTURAL: 0.03,
}
"""Relative chance that a cast grade comes in this form."""
BERYLLIUM_FORMS: Mapping[Form, float] = {
    Form.SPRING: 12.0,
    Form.TOOL: 10.0,
    Form.FASTENER: 3.0,
    Form.BAR: 2.0,
    Form.FORGING: 2.0,
    Form.CASTING: 2.0,
    Form.FOIL: 1.0,
    Form.PLATE: 0.5,
    Form.SHEET: 0.15,
    Form.TUBE: 0.1,
    Form.WIRE: 0.1,
    Form.EXTRUSION: 0.1,
    Form.CABLE: 0.02,
    Form.CAN: 0.02,
    Form.RADIATOR: 0.02,
    Form.STRUCTURAL: 0.02,
}
"""Relative chance that copper of this form holds beryllium: springs, non-sparking tools and connectors do,
pipe, wire, sheet and gutters practically never (common practice)."""
FORM_WORDS: Mapping[Form, tuple[str, ...]] = {
    Form.SHEET: ("sheet", "strip", "panel", "trim", "cladding"),
    Form.PLATE: ("plate",),
    Form.FOIL: ("foil",),
    Form.EXTRUSION: ("extrusion", "profile", "section", "frame"),
    Form.BAR: ("bar", "rod", "shaft"),
    Form.WIRE: ("wire",),
    Form.CABLE: ("cable", "conductor", "wire"),
    Form.TUBE: ("tube", "pipe"),
    Form.CASTING: ("cast", "ingot"),
    Form.FORGING: ("forg",),
    Form.FASTENER: ("fastener", "bolt", "screw", "nut", "rivet"),
    Form.FITTING: ("fitting", "valve", "tap", "faucet"),
    Form.SPRING: ("spring",),
    Form.TOOL: ("tool", "drill", "die", "knife", "blade", "cutter"),
    Form.WHEEL: ("wheel",),
    Form.RADIATOR: ("radiator", "heat exchanger", "fin"),
    Form.CAN: ("can ", "cans", "can,"),
    Form.STRUCTURAL: ("beam", "structural", "angle", "rail", "section"),
}
"""Words in the library's list of uses that mean the form."""
USE_NOT_LISTED = 0.35
"""A use that the library does not list speaks little against a grade."""
RARE_UNLESS_LISTED: Mapping[Form, float] = {Form.FOIL: 0.005, Form.CAN: 0.005}
"""But foil and cans are rolled of few alloys of a metal only, and those list it (common practice)."""

SPARK_ODDS: Mapping[Spark, tuple[float, ...]] = {
    #                   none  short  straw bursting white
    Spark.NONE: (0.95, 0.03, 0.01, 0.005, 0.005),
    Spark.SHORT_DARK: (0.15, 0.65, 0.18, 0.01, 0.01),
    Spark.STRAW: (0.02, 0.15, 0.68, 0.14, 0.01),
    Spark.BURSTING: (0.01, 0.02, 0.15, 0.81, 0.01),
    Spark.WHITE: (0.01, 0.01, 0.02, 0.03, 0.93),
}
"""Chance that a metal with the stream of the key is called each stream, in the order of `Spark`."""


def spark_class(grade: Grade) -> Spark:
    """Return the spark stream that a grade gives on a clean wheel (common practice)."""
    if grade.base == "Ti":
        return Spark.WHITE
    if grade.group in {"nickel", "cobalt"}:
        return Spark.SHORT_DARK
    if grade.group == "stainless":
        return Spark.STRAW
    if grade.group == "cast iron":
        return Spark.SHORT_DARK
    if grade.group in {"steel", "tool steel"}:
        carbon = grade.limits.get("C")
        most = carbon.high if carbon is not None and carbon.high is not None else 0.2
        return Spark.BURSTING if most >= 0.15 else Spark.STRAW
    return Spark.NONE


_IACS_BY_GROUP: Mapping[str, tuple[float, float]] = {
    "aluminium": (24.0, 62.0),
    "magnesium": (8.0, 38.0),
    "titanium": (0.8, 4.0),
    "zinc": (24.0, 30.0),
    "lead": (4.0, 9.0),
    "tin": (8.0, 16.0),
    "copper": (20.0, 102.0),
    "brass": (15.0, 45.0),
    "bronze": (5.0, 30.0),
    "nickel silver": (4.0, 11.0),
    "cupronickel": (3.0, 12.0),
    "stainless": (1.5, 3.5),
    "steel": (5.0, 18.0),
    "tool steel": (2.0, 10.0),
    "cast iron": (1.5, 6.0),
    "nickel": (1.0, 26.0),
    "cobalt": (1.0, 25.0),
    "precious": (3.0, 106.0),
}
"""Conductivity of a grade that publishes none [% IACS]: what its group shows."""


def iacs_band(grade: Grade) -> tuple[float, float]:
    """Return the least and greatest conductivity of a grade over its tempers [% IACS]."""
    if grade.iacs_low_pct is None or grade.iacs_high_pct is None:
        return _IACS_BY_GROUP.get(grade.group, (0.5, 100.0))
    low, high = grade.iacs_low_pct, grade.iacs_high_pct
    # Tables print typical values: melts and tempers lie a few per cent around them.
    return max(low - 0.03 * low - 0.3, 0.1), high + 0.03 * high + 0.3


SURFACE_ODDS: Mapping[Surface, Callable[[Grade], float]] = {
    Surface.RUSTY: lambda grade: 1.0
    if grade.group in {"steel", "tool steel", "cast iron", "magnet"}
    else 0.02,
    Surface.ANODISED: lambda grade: {"aluminium": 1.0, "titanium": 0.2, "magnesium": 0.1}.get(
        grade.group, 0.005
    ),
    Surface.GALVANISED: lambda grade: {"steel": 1.0, "cast iron": 0.3}.get(grade.group, 0.005),
    Surface.PLATED: lambda grade: {
        "steel": 1.0,
        "brass": 1.0,
        "zinc": 1.0,
        "copper": 0.6,
        "nickel silver": 0.5,
        "bronze": 0.4,
        "aluminium": 0.3,
        "tool steel": 0.3,
        "cast iron": 0.3,
    }.get(grade.group, 0.1),
}
"""Relative chance that a piece of the grade is found with this covering; paint, dirt and oil are on
anything."""
