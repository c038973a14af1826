"""Between which conductivities an aluminium or copper alloy must lie, from what its solutes can do."""

from collections.abc import Mapping

from grade_library.auditing.nominal import nominal_composition
from grade_library.bench.physics import IACS_RESISTIVITY_UOHM_CM
from grade_library.elements import ELEMENTS
from grade_library.grade import Grade

_ALUMINIUM_UOHM_CM = 2.65
_COPPER_UOHM_CM = 1.68
"""Resistivity of the pure metals at 20 °C [µΩ cm] (memory)."""

_IN_ALUMINIUM: Mapping[str, tuple[float, float, float]] = {
    "Cr": (4.00, 0.18, 0.77),
    "Cu": (0.344, 0.030, 5.65),
    "Fe": (2.56, 0.058, 0.052),
    "Li": (3.31, 0.68, 4.0),
    "Mg": (0.54, 0.22, 14.9),
    "Mn": (2.94, 0.34, 1.82),
    "Ni": (0.81, 0.061, 0.05),
    "Si": (1.02, 0.088, 1.65),
    "Ti": (2.88, 0.12, 1.0),
    "V": (3.58, 0.28, 0.5),
    "Zn": (0.094, 0.023, 82.8),
    "Zr": (1.74, 0.044, 0.28),
}
"""Rise of resistivity per wt % in solution and out of it [µΩ cm], and most that dissolves [wt %] (figures for
aluminium, from memory)."""

_IN_COPPER_UOHM_CM_PER_AT_PCT: Mapping[str, float] = {
    "Ag": 0.14,
    "Al": 1.25,
    "As": 6.8,
    "Be": 0.62,
    "Cd": 0.3,
    "Co": 6.4,
    "Cr": 4.0,
    "Fe": 9.3,
    "Mg": 0.8,
    "Mn": 2.9,
    "Ni": 1.2,
    "P": 6.7,
    "Sb": 5.5,
    "Si": 3.95,
    "Sn": 2.9,
    "Zn": 0.33,
    "Zr": 8.0,
}
"""Rise of resistivity per at % in solution [µΩ cm] (dilute copper alloys, from memory)."""
_PRECIPITATING = frozenset({"Fe", "Cr", "Co", "Be", "Si", "Ni", "Zr", "P", "Mg", "As", "Sb", "Mn"})
"""May stand outside the copper lattice in full, as precipitates or inclusions."""
_MOST_IACS_PCT = 104.0
STRONG_ALLOY_SHARE = 0.6
"""Least share of the dilute figure that is left in a strong alloy (C26000 at 28, C61400 at 14 % IACS)."""
SLACK = {"Al": 1.05, "Cu": 1.25}
"""Published figures are rounded; the figures above hold to a few per cent in aluminium, a fifth in copper."""


def conductivity_bounds(grade: Grade) -> tuple[float, float] | None:
    """Return least and most conductivity [% IACS] that the limits allow; None for other bases.

    Valid: bounds, not an estimate: the least with every solute at its maximum and dissolved, the most with
        every solute at its minimum and precipitated as far as it can be.
    """
    if grade.base == "Al":
        resistivities = _aluminium(grade)
    elif grade.base == "Cu":
        resistivities = _copper(grade)
    else:
        return None
    best, worst = resistivities
    slack = SLACK[grade.base]
    return IACS_RESISTIVITY_UOHM_CM / worst / slack, min(
        IACS_RESISTIVITY_UOHM_CM / best * slack, _MOST_IACS_PCT
    )


def _amounts(grade: Grade, symbol: str) -> tuple[float, float]:
    """Return least and most of an element [wt %]; an element not named may reach "others each"."""
    limit = grade.limits.get(symbol)
    if limit is None:
        return 0.0, grade.others_each or 0.0
    if limit.is_rest:
        return (nominal_composition(grade)[symbol],) * 2
    low = limit.low or 0.0
    return low, low if limit.high is None else limit.high


def _aluminium(grade: Grade) -> tuple[float, float]:
    best = worst = _ALUMINIUM_UOHM_CM
    for symbol, (dissolved, apart, most_dissolved) in _IN_ALUMINIUM.items():
        low, high = _amounts(grade, symbol)
        best += apart * low
        worst += dissolved * min(high, most_dissolved) + apart * max(high - most_dissolved, 0.0)
    return best, worst


def _copper(grade: Grade) -> tuple[float, float]:
    best = worst = _COPPER_UOHM_CM
    for symbol, rise in _IN_COPPER_UOHM_CM_PER_AT_PCT.items():
        low, high = _amounts(grade, symbol)
        to_at_pct = ELEMENTS["Cu"].atomic_weight / ELEMENTS[symbol].atomic_weight
        worst += rise * _saturating(high * to_at_pct)
        if symbol not in _PRECIPITATING or low > 5.0:
            best += STRONG_ALLOY_SHARE * rise * _saturating(low * to_at_pct)
    return best, worst


def _saturating(at_pct: float) -> float:
    """Return the at % that counts: x(1 - x) falls behind x in strong alloys (Nordheim's rule)."""
    share = min(at_pct / 100.0, 0.5)
    return 100.0 * share * (1.0 - share)
