"""What a grade is most often taken for, and the check that tells the two apart."""

from dataclasses import dataclass

import numpy as np

from grade_library.auditing.nominal import nominal_composition
from grade_library.grade import Grade, Limit, MagneticClass
from grade_library.library import GradeLibrary
from grade_library.loading.notation import write_limit
from grade_library.matcher.melt import residual_scale
from grade_library.matcher.twins import finder_for
from grade_library.technique import Profile, profiles

DENSITY_APART = 0.015
"""Relative difference that weighing in water settles (a careful weighing of a fist-sized piece: 0.3 %)."""
IACS_APART_PCT = 4.0
"""Gap between two conductivity ranges that a meter settles (common practice: two units to each side)."""
ELEMENT_APART_SIGMAS = 3.0
"""Gap between two limits, in standard uncertainties of a reading there, that a reading settles."""
_PULLS = {
    MagneticClass.STRONG: "strong",
    MagneticClass.WEAK: "weak",
    MagneticClass.NON: "none",
    MagneticClass.WEAK_WHEN_WORKED: "none to weak",
    MagneticClass.VARIABLE: "any",
}
_TECHNIQUE_ORDER = ("xrf", "libs", "lab")


@dataclass(frozen=True, slots=True, kw_only=True)
class Confusion:
    """One grade that this one is taken for."""

    grade: Grade
    check: str
    """The cheapest check that tells the two apart: "magnet: strong here, none there"; or that none does."""
    is_separable: bool


def most_confused(library: GradeLibrary, grade_id: str, limit: int = 4) -> tuple[Confusion, ...]:
    """Return the grades whose x-ray readings come nearest to this grade's, the nearest first.

    Raises:
        KeyError: The library has no such grade.

    >>> from grade_library.library import load
    >>> "304L" in [confusion.grade.grade_id for confusion in most_confused(load(), "304")]
    True
    """
    row = library.index_of(grade_id)
    overlap = finder_for(library, profiles()["xrf"]).overlap(row).copy()
    overlap[row] = -1.0
    grade = library.grades[row]
    nearest = np.argsort(-overlap, kind="stable")[:limit]
    return tuple(_confusion(grade, library.grades[other]) for other in nearest)


def _confusion(grade: Grade, other: Grade) -> Confusion:
    for check in (_by_magnet, _by_colour, _by_form, _by_reading, _by_conductivity, _by_density):
        text = check(grade, other)
        if text:
            return Confusion(grade=other, check=text, is_separable=True)
    return Confusion(grade=other, check=_at_best(grade, other), is_separable=False)


def _at_best(grade: Grade, other: Grade) -> str:
    """Return what speaks most for one of the two where limits overlap: the middles furthest apart."""
    here, there = nominal_composition(grade), nominal_composition(other)
    apart = []
    for place, key in enumerate(_TECHNIQUE_ORDER):
        profile = profiles()[key]
        for symbol in sorted({*grade.limits, *other.limits} - profile.unseen):
            limits = grade.limits.get(symbol), other.limits.get(symbol)
            if limits[0] == limits[1] or any(limit is not None and limit.is_rest for limit in limits):
                continue
            low, high = sorted((here.get(symbol, 0.0), there.get(symbol, 0.0)))
            apart.append(((low - high) / profile.sigma(symbol, high), place, symbol, profile.label))
    if not apart or min(apart)[0] > -1.0:
        return "nothing: no technique sees a difference"
    symbol, label = min(apart)[2:]
    limits_said = f"{_said(grade.limits.get(symbol))} here, {_said(other.limits.get(symbol))} there"
    return f"nothing for sure; {symbol} by {label} speaks for one: {limits_said}"


def _by_magnet(grade: Grade, other: Grade) -> str:
    pulls = (grade.magnet, other.magnet)
    if MagneticClass.STRONG in pulls and (
        MagneticClass.NON in pulls or MagneticClass.WEAK_WHEN_WORKED in pulls
    ):
        return f"magnet: {_PULLS[grade.magnet]} here, {_PULLS[other.magnet]} there"
    return ""


def _by_colour(grade: Grade, other: Grade) -> str:
    if grade.colour == other.colour or {"white", "grey"} == {grade.colour.value, other.colour.value}:
        return ""
    return f"file mark: {grade.colour.value} here, {other.colour.value} there"


def _by_form(grade: Grade, other: Grade) -> str:
    if grade.is_cast == other.is_cast:
        return ""
    return "form: casting here, wrought there" if grade.is_cast else "form: wrought here, casting there"


def _by_reading(grade: Grade, other: Grade) -> str:
    """Return the element whose limits lie furthest apart, with the first technique that sees the gap."""
    known = profiles()
    for key in _TECHNIQUE_ORDER:
        profile = known[key]
        gaps = []
        for symbol in sorted({*grade.limits, *other.limits} - profile.unseen):
            gap = _gap_sigmas(profile, symbol, grade, other)
            if gap >= ELEMENT_APART_SIGMAS:
                gaps.append((-gap, symbol))
        if gaps:
            symbol = min(gaps)[1]
            here, there = _said(grade.limits.get(symbol)), _said(other.limits.get(symbol))
            return f"{profile.label} reading: {symbol} {here} here, {there} there"
    return ""


def _gap_sigmas(profile: Profile, symbol: str, here: Grade, there: Grade) -> float:
    """Return how far two limits lie apart in standard uncertainties; 0 where they overlap."""
    low_here, high_here = _range(here, symbol)
    low_there, high_there = _range(there, symbol)
    if low_here > high_there:
        return (low_here - high_there) / profile.sigma(symbol, low_here)
    if low_there > high_here:
        return (low_there - high_here) / profile.sigma(symbol, low_there)
    return 0.0


MOST_RESIDUAL_SCALES = 3.0
"""An element that a grade does not name may come to this many times its usual residual (95 of 100 melts)."""


def _range(grade: Grade, symbol: str) -> tuple[float, float]:
    limit = grade.limits.get(symbol)
    if limit is None:
        return 0.0, MOST_RESIDUAL_SCALES * residual_scale(grade.group, symbol)
    if limit.is_rest and limit.low is None:
        return 0.0, 100.0
    return limit.low or 0.0, 100.0 if limit.high is None else limit.high


def _said(limit: Limit | None) -> str:
    return "not named" if limit is None else write_limit(limit)


def _by_conductivity(grade: Grade, other: Grade) -> str:
    here, there = (grade.iacs_low_pct, grade.iacs_high_pct), (other.iacs_low_pct, other.iacs_high_pct)
    if here[0] is None or here[1] is None or there[0] is None or there[1] is None:
        return ""
    if max(here[0] - there[1], there[0] - here[1]) < IACS_APART_PCT:
        return ""
    return f"conductivity: {here[0]:g}-{here[1]:g} here, {there[0]:g}-{there[1]:g} % IACS there"


def _by_density(grade: Grade, other: Grade) -> str:
    if abs(grade.density_g_cm3 / other.density_g_cm3 - 1.0) < DENSITY_APART:
        return ""
    return f"weighing in water: {grade.density_g_cm3:g} here, {other.density_g_cm3:g} g/cm3 there"
