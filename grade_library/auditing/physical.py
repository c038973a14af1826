"""Audit of physical facts against composition: density, conductivity, colour, magnet."""

from collections.abc import Iterable, Iterator, Mapping

from grade_library.auditing.conductivity_bounds import conductivity_bounds
from grade_library.auditing.expected_density import expected_density
from grade_library.auditing.findings import Acceptance, Check, Finding
from grade_library.auditing.nominal import nominal_composition
from grade_library.grade import Colour, Grade, MagneticClass

DENSITY_TOLERANCE_PCT = 1.5
CAST_LIGHTER_PCT = 3.0
"""Castings may lie this far below the estimate: pores (published: 95 to 100 % of the computed value)."""

_NON_MAGNETIC_BASES = frozenset(
    {"Al", "Mg", "Ti", "Zn", "Pb", "Sn", "Ag", "Au", "Pt", "Pd", "Zr", "Nb", "Ta", "Mo"}
)
_NOT_STRONG = frozenset(
    {MagneticClass.NON, MagneticClass.WEAK, MagneticClass.WEAK_WHEN_WORKED, MagneticClass.VARIABLE}
)
_WHITES = frozenset({Colour.WHITE, Colour.GREY, Colour.WARM_WHITE})
_COLOURS_BY_BASE: Mapping[str, frozenset[Colour]] = {
    "Al": frozenset({Colour.WHITE}),
    "Mg": frozenset({Colour.WHITE, Colour.GREY}),
    "Sn": frozenset({Colour.WHITE, Colour.BLUE_GREY}),
    "Pb": frozenset({Colour.BLUE_GREY}),
    "Zn": frozenset({Colour.GREY, Colour.BLUE_GREY}),
    "Au": frozenset({Colour.GOLDEN, Colour.REDDISH, Colour.WHITE, Colour.YELLOW}),
    "W": frozenset({Colour.GREY, Colour.DARK}),
}
STRONG_IRON_WT_PCT = 80.0
"""Iron alloys with this much iron pull strongly, unless much manganese or nickel keeps them austenitic."""
AUSTENITE_FORMERS_WT_PCT = 10.0


def physical_findings(grades: Iterable[Grade], acceptance: Acceptance) -> Iterator[Finding]:
    """Yield the physical facts that do not go with the composition."""
    for grade in grades:
        if grade.base not in grade.limits:
            continue
        composition = nominal_composition(grade)
        yield from _density(grade, composition, acceptance)
        yield from _conductivity(grade)
        yield from _colour(grade, composition)
        yield from _magnet(grade, composition)


def _density(grade: Grade, composition: Mapping[str, float], acceptance: Acceptance) -> Iterator[Finding]:
    expected = expected_density(grade, composition)
    off_pct = 100.0 * (grade.density_g_cm3 / expected - 1.0)
    tolerance = acceptance.density_tolerances.get(grade.family)
    above = DENSITY_TOLERANCE_PCT if tolerance is None else tolerance.pct
    below = max(above, CAST_LIGHTER_PCT) if grade.is_cast else above
    if not -below <= off_pct <= above:
        found = f"{grade.density_g_cm3:g} g/cm3, {off_pct:+.1f} % off the mixture"
        wanted = f"{expected:.2f} g/cm3 (+{above:g} %, -{below:g} %)"
        yield Check.DENSITY.finding(grade.grade_id, found, wanted)


def _conductivity(grade: Grade) -> Iterator[Finding]:
    bounds = conductivity_bounds(grade)
    if bounds is None or grade.iacs_low_pct is None or grade.iacs_high_pct is None:
        return
    least, most = bounds
    if grade.iacs_low_pct < least or grade.iacs_high_pct > most:
        found = f"{grade.iacs_low_pct:g} to {grade.iacs_high_pct:g} % IACS"
        wanted = f"{least:.0f} to {most:.0f} % IACS by composition"
        yield Check.CONDUCTIVITY.finding(grade.grade_id, found, wanted)


def _colour(grade: Grade, composition: Mapping[str, float]) -> Iterator[Finding]:
    allowed = _copper_colours(composition) if grade.base == "Cu" else _other_colours(grade)
    if grade.colour not in allowed:
        wanted = " or ".join(sorted(colour.value for colour in allowed))
        yield Check.COLOUR.finding(grade.grade_id, grade.colour.value, wanted)


def _other_colours(grade: Grade) -> frozenset[Colour]:
    if grade.base == "Fe" and grade.group not in ("stainless",):
        return frozenset({Colour.GREY, Colour.DARK})
    return _COLOURS_BY_BASE.get(grade.base, _WHITES | {Colour.DARK} if grade.group == "magnet" else _WHITES)


def _copper_colours(composition: Mapping[str, float]) -> frozenset[Colour]:
    """Return what colours a copper alloy can have.

    Source: published trade notes: red to about 5 % zinc, reddish to about 20, yellow above; white from about
        10 % nickel; golden with aluminium.
    """
    zinc, nickel = composition.get("Zn", 0.0), composition.get("Ni", 0.0)
    if composition.get("Al", 0.0) >= 4.0:
        return frozenset({Colour.GOLDEN, Colour.YELLOW})
    if nickel >= 8.0 or composition.get("Mn", 0.0) >= 10.0:
        return frozenset({Colour.WARM_WHITE, Colour.WHITE} | ({Colour.REDDISH} if nickel < 10.5 else set()))
    if zinc >= 22.0:
        return frozenset({Colour.YELLOW, Colour.GOLDEN})
    if zinc >= 13.0 or composition.get("Sn", 0.0) >= 15.0:
        return frozenset({Colour.YELLOW, Colour.REDDISH})
    others = 100.0 - composition.get("Cu", 0.0)
    if others < 1.0:
        return frozenset({Colour.RED})
    return frozenset({Colour.REDDISH} if others > 5.0 else {Colour.RED, Colour.REDDISH})


def _magnet(grade: Grade, composition: Mapping[str, float]) -> Iterator[Finding]:
    iron = composition.get("Fe", 0.0)
    formers = composition.get("Mn", 0.0) + composition.get("Ni", 0.0)
    if grade.base in _NON_MAGNETIC_BASES:
        allowed, why = frozenset({MagneticClass.NON}), "base"
    elif grade.base == "Cu":
        allowed, why = _NOT_STRONG, "copper"
    elif grade.base == "Fe" and iron >= STRONG_IRON_WT_PCT and formers < AUSTENITE_FORMERS_WT_PCT:
        allowed, why = frozenset({MagneticClass.STRONG}), f"iron {iron:.0f} wt %"
    elif grade.base == "Ni" and composition["Ni"] >= 98.5:
        allowed, why = frozenset({MagneticClass.STRONG}), "nearly pure nickel"
    else:
        return
    if grade.magnet not in allowed:
        said = " or ".join(sorted(magnet.value for magnet in allowed))
        yield Check.MAGNET.finding(grade.grade_id, grade.magnet.value, f"{said} ({why})")
