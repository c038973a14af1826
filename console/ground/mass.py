"""Weights as people type and read them: kg, g, lb, metric and short tons, to whole grams and back."""

import re
from collections.abc import Sequence
from fractions import Fraction

from console.ground.errors import BaywrightError

POUND_G = Fraction(45359237, 100000)
"""One avoirdupois pound [g], exact: 0.45359237 kg. Source: international yard and pound agreement, 1959."""

UNITS_G: dict[str, Fraction] = {
    "kg": Fraction(1000),
    "g": Fraction(1),
    "lb": POUND_G,
    "t": Fraction(1_000_000),
    "short ton": 2000 * POUND_G,
}
"""Unit as shown -> grams, exact. A short ton is 2000 lb (United States usage)."""

UNIT_WORDS: dict[str, str] = {
    "kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg",
    "g": "g", "gr": "g", "gram": "g", "grams": "g",
    "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "t": "t", "tonne": "t", "tonnes": "t",
    "ston": "short ton", "stons": "short ton",
}  # fmt: skip
"""Unit as typed, case-folded -> unit as shown."""

NUMBER = r"(?:[0-9]{1,12}(?:[.,][0-9]{0,9})?|[.,][0-9]{1,9})"
"""A number without sign, with decimal point or comma; short enough for exact arithmetic to stay quick."""

_MASS = re.compile(rf"([+-]?)({NUMBER})\s*([a-z ]*)")
_NUMBER_WITH_SIGN = re.compile(rf"[+-]?{NUMBER}")
# "1,200" is 1.2 to one hand and 1200 to another, so it is asked back; "0,820" can only be a decimal.
_TWO_WAYS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

DECIMALS = {"kg": 2, "g": 0, "lb": 2, "t": 3, "short ton": 3}
"""Unit -> decimals in a sentence or on paper."""
ON_SCREEN = {"kg": 2, "lb": 2, "t": 4, "short ton": 4}
"""Unit -> decimals in a column of the screen: ten grams or finer."""

LARGEST_G = 200_000_000
"""No scale that a yard owns weighs more [g]: 200 t, common practice for rail and truck scales."""


class MassError(BaywrightError, ValueError):
    """A weight cannot be read; the message says why and what to type."""


def is_number(text: str) -> bool:
    """Return True for a plain number, signed or not, with decimal point or comma.

    >>> is_number("12,4"), is_number("-3"), is_number("6061-T6"), is_number("")
    (True, True, False, False)
    """
    return _NUMBER_WITH_SIGN.fullmatch(text) is not None


def as_fraction(number: str) -> Fraction:
    """Return the exact value of a number that `is_number` accepts.

    >>> as_fraction("12,4")
    Fraction(62, 5)
    """
    return Fraction(number.replace(",", ".").rstrip("."))


def parse_mass_g(text: str, unit: str, *, may_be_zero: bool = False) -> int:
    """Return a weight in whole grams, rounded half up.

    Args:
        text: As typed: "12.4", "12,4kg", "820 g", "3lb", "1.2t", "1.5 ston".
        unit: Unit of a bare number, a key of UNITS_G.
        may_be_zero: Accept 0 (a tare may be 0, a piece may not).

    Raises:
        MassError: No number, an unknown unit, or a weight that cannot be.

    >>> parse_mass_g("3lb", "kg"), parse_mass_g("12,4", "kg")
    (1361, 12400)
    """
    typed = text.strip()
    match = _MASS.fullmatch(typed.casefold())
    if match is None:
        raise MassError(f'"{typed}" is not a weight: a number with or without a unit, such as 12.4 or 12.4kg')
    sign, number, word = match.groups()
    shown = _unit_of(word.strip(), unit, typed)
    if _TWO_WAYS.fullmatch(number):
        whole, decimals = number.split(",")
        raise MassError(
            f'"{typed}" can be read two ways: type {whole}.{decimals.rstrip("0") or "0"} or {whole}{decimals}'
        )
    grams = int(as_fraction(number) * UNITS_G[shown] + Fraction(1, 2))
    if sign == "-" or (grams == 0 and not may_be_zero):
        raise MassError(f'weight "{typed}": needs to be above 0 (at least 1 g)')
    if grams > LARGEST_G:
        raise MassError(f'weight "{typed}": above 200 t, more than any scale here; slipped point or unit?')
    return grams


def _unit_of(word: str, default: str, typed: str) -> str:
    """Return the unit as shown for a unit as typed."""
    if not word:
        return default
    if word in ("ton", "tons"):
        raise MassError(f'"{typed}": which ton? t is metric (1000 kg), ston is short (2000 lb)')
    if word == "short ton" or word == "short tons":
        return "short ton"
    if word not in UNIT_WORDS:
        raise MassError(f'"{typed}": unit "{word}" is not known; there are kg, g, lb, t and ston (short ton)')
    return UNIT_WORDS[word]


def in_unit(mass_g: int, unit: str) -> float:
    """Return a mass [g] in another unit.

    >>> in_unit(12_400, "t")
    0.0124
    """
    return float(mass_g / UNITS_G[unit])


def format_mass(mass_g: int, unit: str, *, decimals: int | None = None) -> str:
    """Return a weight with its unit, as a person reads it.

    Args:
        mass_g: Whole grams; may be negative (a difference).
        unit: A key of UNITS_G.
        decimals: Fixed number; None takes 2 for lb and kg (3 where grams would be lost), 3 for tons.

    >>> format_mass(12400, "kg"), format_mass(825, "kg"), format_mass(1361, "lb"), format_mass(1234567, "t")
    ('12.40 kg', '0.825 kg', '3.00 lb', '1.235 t')
    """
    if decimals is None:
        decimals = 3 if unit == "kg" and mass_g % 10 else DECIMALS[unit]
    scale = 10**decimals
    exact = mass_g / UNITS_G[unit]
    rounded = int(abs(exact) * scale + Fraction(1, 2))
    whole, rest = divmod(rounded, scale)
    sign = "-" if mass_g < 0 and rounded else ""
    figures = f"{whole}.{rest:0{decimals}d}" if decimals else f"{whole}"
    return f"{sign}{figures} {unit}"


def masses_alike(masses_g: Sequence[int], unit: str) -> list[str]:
    """Return weights with their unit and the same number of decimals, so that a column of them lines up.

    >>> masses_alike([17240, 825], "kg")
    ['17.240 kg', '0.825 kg']
    """
    decimals = 3 if unit == "kg" and any(mass_g % 10 for mass_g in masses_g) else DECIMALS[unit]
    return [format_mass(mass_g, unit, decimals=decimals) for mass_g in masses_g]


def mass(grams: int, unit: str = "kg") -> str:
    """Return a mass [g] as a figure in the yard's unit, without the unit.

    >>> mass(12_400), mass(453_592, "lb")
    ('12.40', '1000.00')
    """
    return f"{in_unit(grams, unit):.{ON_SCREEN.get(unit, 3)}f}"


def short_mass(grams: int, unit: str = "kg") -> str:
    """Return a sum of masses [g] in at most eight characters: fewer decimals for larger figures.

    >>> short_mass(12_400), short_mass(123_456_780), short_mass(12_345_678_900)
    ('12.40', '123456.8', '12345679')
    """
    value = in_unit(grams, unit)
    for decimals in range(ON_SCREEN.get(unit, 3), -1, -1):
        text = f"{value:.{decimals}f}"
        if len(text) <= 8:
            return text
    return text
