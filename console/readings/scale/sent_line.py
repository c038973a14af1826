"""Reads one line that a scale sent: its weight, or what is wrong with it."""

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from console.ground.cleaning import clean
from console.ground.mass import UNIT_WORDS, UNITS_G, as_fraction, is_number
from console.readings.scale.wire import ScaleTrouble, ScaleWire

if TYPE_CHECKING:
    from regex import Pattern

LONGEST_LINE = 120
"""Characters of one line that are looked at; scales send a few dozen (own choice)."""
PATTERN_MAY_TAKE_S = 0.2
"""A pattern that tries one line for longer does not come to an end [s] (own choice)."""
_QUOTED = 40

NO_EXTRA = "Reading a scale needs two packages more: pip install 'baywright[scale]'."
BAD_PATTERN = "piece_scale.wire, pattern: {why}; mend it in yard.toml."
ENDLESS = (
    'The pattern of [piece_scale.wire] does not come to an end on "{line}"; write it without a repeat inside '
    "a repeat."
)
NOT_READ = 'The scale sends "{line}", which the pattern of [piece_scale.wire] does not read.'
NO_NUMBER = 'The scale sends "{line}"; "{weight}" is no number with a decimal {decimal}.'
NO_UNIT = 'The scale sends "{line}" without a unit; set unit under [piece_scale.wire].'
OTHER_UNIT = 'The scale shows "{unit}"; {wanted}.'


@dataclass(frozen=True, slots=True, kw_only=True)
class SentWeight:
    """What one line of a scale says."""

    mass_g: int
    """Whole grams, rounded half away from zero; negative below the scale's zero."""
    is_steady: bool | None
    """None where the scale does not say."""


def compiled(pattern: str) -> "Pattern[str]":
    """Return the pattern, ready to be tried.

    Raises:
        ScaleTrouble: The extra that reads scales is not installed, or it is no pattern.
    """
    try:
        import regex
    except ImportError:
        raise ScaleTrouble(NO_EXTRA) from None
    try:
        return regex.compile(pattern)
    except regex.error as error:
        raise ScaleTrouble(BAD_PATTERN.format(why=error)) from None


def weight_sent(line: str, wire: ScaleWire, pattern: "Pattern[str]") -> SentWeight:
    """Return the weight that a line holds.

    Args:
        line: One line, without its end.
        wire: Unit, and what stands before the decimals.
        pattern: Of the wire, compiled.

    Raises:
        ScaleTrouble: The pattern does not read the line or does not come to an end, there is no number, or
            no unit that is known or that the wire asks for.
    """
    shown = clean(line, _QUOTED).strip()
    try:
        # A pattern of a user may try for ever: a limit on the line alone does not help against (a+)+.
        found = pattern.search(line[:LONGEST_LINE], timeout=PATTERN_MAY_TAKE_S)
    except TimeoutError:
        raise ScaleTrouble(ENDLESS.format(line=shown)) from None
    groups = found.groupdict() if found else {}
    weight = "".join((groups.get("weight") or "").split())
    if not weight:
        raise ScaleTrouble(NOT_READ.format(line=shown))
    other = "," if wire.decimal == "point" else "."
    if not is_number(weight) or other in weight:
        said = NO_NUMBER.format(line=shown, weight=clean(weight, _QUOTED), decimal=wire.decimal)
        raise ScaleTrouble(said)
    unit = _unit(groups.get("unit"), wire, shown)
    exact = abs(as_fraction(weight.lstrip("+-"))) * UNITS_G[unit]
    grams = int(exact + Fraction(1, 2))
    is_steady = bool(groups["stable"]) if "stable" in groups else None
    return SentWeight(mass_g=-grams if weight.startswith("-") else grams, is_steady=is_steady)


def _unit(sent: str | None, wire: ScaleWire, shown: str) -> str:
    if sent is None or not sent.strip():
        if not wire.unit:
            raise ScaleTrouble(NO_UNIT.format(line=shown))
        return wire.unit
    known = UNIT_WORDS.get(sent.strip().casefold())
    if known is None:
        wanted = f"set it to {wire.unit or 'kg, g, lb or t'}"
        raise ScaleTrouble(OTHER_UNIT.format(unit=clean(sent, 10), wanted=wanted))
    if wire.unit and known != wire.unit:
        wanted = f"yard.toml says {wire.unit}: set the scale back, or change unit under [piece_scale.wire]"
        raise ScaleTrouble(OTHER_UNIT.format(unit=clean(sent, 10), wanted=wanted))
    return known
