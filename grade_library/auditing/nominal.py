"""The composition in the middle of a grade's limits, for checks that need one composition and not a range."""

from collections.abc import Mapping

from grade_library.elements import ELEMENTS
from grade_library.grade import Grade, Limit

ABOVE_MINIMUM = 0.3
"""Additions with a bare minimum run a little above it [share of the minimum], as they cost money (memory)."""
ABOVE_MAIN_MINIMUM_WT_PCT = 2.0
"""Most by which they do [wt %]."""
TYPICAL_OF_MAXIMUM = 0.4
"""Share of a bare maximum that melts usually hold (memory; impurities run well below their limits)."""


def nominal_composition(grade: Grade) -> dict[str, float]:
    """Return symbol -> mass fraction [wt %] in the middle of the limits; the fractions sum to 100.

    The middle of a range, the nominal value where one is stated, two fifths of a bare maximum; the base makes
    up what is left.

    >>> from grade_library.library import load
    >>> round(nominal_composition(load().grade("C26000"))["Cu"], 1)
    70.0
    """
    rest = next((symbol for symbol, limit in grade.limits.items() if limit.is_rest), None)
    amounts = {symbol: _middle(limit) for symbol, limit in grade.limits.items() if symbol != rest}
    _respect_sums(amounts, {key: limit for key, limit in grade.sums.items() if rest not in key.split("+")})
    if rest is not None:
        amounts[rest] = max(100.0 - sum(amounts.values()), 0.0)
    elif grade.limits[grade.base].high is None:
        # A base with only a minimum ("Al >= 99.5") takes what the others leave.
        amounts[grade.base] = max(100.0 - sum(v for s, v in amounts.items() if s != grade.base), 0.0)
    total = sum(amounts.values())
    return {symbol: 100.0 * amount / total for symbol, amount in amounts.items()}


def _middle(limit: Limit) -> float:
    if limit.nominal is not None:
        return limit.nominal
    if limit.low is not None and limit.high is not None:
        return 0.5 * (limit.low + limit.high)
    if limit.low is not None:
        return limit.low + min(ABOVE_MINIMUM * limit.low, ABOVE_MAIN_MINIMUM_WT_PCT)
    return TYPICAL_OF_MAXIMUM * (limit.high or 0.0)


def _respect_sums(amounts: dict[str, float], sums: Mapping[str, Limit]) -> None:
    """Scale the parts of a limited sum into it; add those that only the sum names, in equal shares."""
    for symbols, limit in sums.items():
        parts = [part for part in symbols.split("+") if part in ELEMENTS]
        unnamed = [part for part in parts if part not in amounts]
        missing = _middle(limit) - sum(amounts.get(part, 0.0) for part in parts)
        for part in unnamed if missing > 0.0 else ():
            amounts[part] = missing / len(unnamed)
        total = sum(amounts.get(part, 0.0) for part in parts)
        if limit.high is not None and total > limit.high:
            amounts.update({part: amounts[part] * limit.high / total for part in parts if part in amounts})
