"""Element readings as typed: "cr18.2", "ni 8.1", "fe=71", "pb<0.02", "cr18.2+-0.3", "18.2cr8.1ni"."""

import re
from dataclasses import dataclass

from console.ground.mass import NUMBER, as_fraction
from grade_library.elements import ELEMENTS

SYMBOLS: dict[str, str] = {symbol.casefold(): symbol for symbol in ELEMENTS}
"""Symbol as typed, case-folded -> symbol."""

_ONE = re.compile(rf"([a-z]{{1,2}})([=:<]?)({NUMBER})(?:(?:±|\+/?-)({NUMBER}))?%?")
_MANY = re.compile(rf"(?:[a-z]{{1,2}}[=:<]?{NUMBER}%?){{2,40}}")
_VALUE_FIRST = re.compile(rf"({NUMBER})([a-z]{{1,2}})")
_MANY_VALUE_FIRST = re.compile(rf"(?:{NUMBER}[a-z]{{1,2}}){{2,40}}")
_TAIL = re.compile(rf"([=:<]?)({NUMBER})(?:(?:±|\+/?-)({NUMBER}))?%?")
_WHOLE = re.compile(r"[a-z]{1,2}[0-9]{1,4}|[0-9]{1,3}[a-z]{2}")
_NOT_ALONE = frozenset({"in", "th", "nd", "er", "at", "ac", "pa"})
"""Symbols that are no reading behind a single number: 2in is a length, 4th and 2nd count."""

NOT_DETECTED = ("nd", "n.d.", "<lod", "lod")
"""Words for an element that was looked for and not found, right after its symbol."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ElementValue:
    """One element of a reading."""

    symbol: str
    value: float | None
    """Measured [wt %], or the detection limit where `is_below`; None for "nd", the usual limit, and for the
    rest."""
    is_below: bool = False
    is_rest: bool = False
    """What the other elements of the reading leave."""
    sigma: float | None = None
    """Standard uncertainty as typed [wt %]."""

    @property
    def meaning(self) -> str:
        """For the echo: "Cr 18.2 %", "Pb below 0.02 %"."""
        if self.value is None:
            return f"{self.symbol} the rest" if self.is_rest else f"{self.symbol} not found"
        spread = "" if self.sigma is None else f" ± {self.sigma:g}"
        return f"{self.symbol} {'below ' if self.is_below else ''}{self.value:g}{spread} %"

    @property
    def problem(self) -> str:
        """What is impossible about it; empty when nothing is."""
        if self.value is not None and self.value > 100.0:
            return f"{self.symbol} {self.value:g} %: needs 0 to 100; slipped point?"
        if self.sigma is not None and self.sigma <= 0.0:
            return f"{self.symbol} ± {self.sigma:g}: the uncertainty needs to be above 0"
        return ""


def _value(symbol: str, sign: str, number: str, spread: str | None) -> ElementValue:
    return ElementValue(
        symbol=SYMBOLS[symbol],
        value=float(as_fraction(number)),
        is_below=sign == "<",
        sigma=None if spread is None else float(as_fraction(spread)),
    )


def read_glued(key: str) -> tuple[ElementValue, ...]:
    """Return the element values in one case-folded word; empty where it is no reading.

    A value above 100 without a sign is a name ("al6061", "in718"), not a reading. A value may stand before
    its symbol: alone where the symbol has two letters, several where one has a point: "13cr4ni" is the
    name of a steel.

    >>> [value.meaning for value in read_glued("cr18.2ni8,1")], read_glued("97.6cu") == read_glued("cu97.6")
    (['Cr 18.2 %', 'Ni 8.1 %'], True)
    >>> read_glued("18.2cr8ni") == read_glued("cr18.2ni8"), read_glued("13cr4ni")
    (True, ())
    """
    one = _ONE.fullmatch(key)
    if one is not None:
        symbol, sign, number, spread = one.groups()
        if symbol not in SYMBOLS or (not sign and as_fraction(number) > 100):
            return ()
        return (_value(symbol, sign, number, spread),)
    turned = _VALUE_FIRST.fullmatch(key)
    if turned is not None and len(turned[2]) == 2 and turned[2] not in _NOT_ALONE:
        return read_glued(turned[2] + turned[1])
    if _MANY_VALUE_FIRST.fullmatch(key) is not None and any(point in key for point in ".,"):
        parts = [(symbol, "", number) for number, symbol in _VALUE_FIRST.findall(key)]
    elif _MANY.fullmatch(key) is not None:
        parts = [(match[1], match[2], match[3]) for match in _ONE.finditer(key)]
    else:
        return ()
    if any(symbol not in SYMBOLS or as_fraction(number) > 100 for symbol, _, number in parts):
        return ()
    return tuple(_value(symbol, sign, number, None) for symbol, sign, number in parts)


def read_spaced(keys: list[str]) -> tuple[ElementValue, int] | None:
    """Return an element value that starts with a symbol standing alone, and how many words it takes.

    Args:
        keys: The next words, case-folded: ["ni", "8.1"], ["pb", "<", "0.02"], ["pb", "nd"].

    >>> read_spaced(["pb", "<", "0.02", "12kg"])[1]
    3
    """
    head = keys[0]
    sign_at_end = head[-1] if len(head) > 1 and head[-1] in "=:<" else ""
    symbol = head.rstrip("=:<") if sign_at_end else head
    if symbol not in SYMBOLS or len(keys) < 2:
        return None
    if not sign_at_end and keys[1] in NOT_DETECTED:
        return ElementValue(symbol=SYMBOLS[symbol], value=None, is_below=True), 2
    tail, taken = sign_at_end + keys[1], 2
    if keys[1] in ("=", ":", "<") and not sign_at_end and len(keys) > 2:
        tail, taken = keys[1] + keys[2], 3
    match = _TAIL.fullmatch(tail)
    if match is None:
        return None
    sign, number, spread = match.groups()
    return _value(symbol, sign, number, spread), taken


def is_symbol_and_whole_number(key: str) -> bool:
    """Return True for words such as "s7" or "ti64" that may be a reading or the name of a grade."""
    return _WHOLE.fullmatch(key) is not None


def is_value_before_symbol(key: str) -> bool:
    """Return True for words such as "0.05pd", which may end a name: "Ti 6Al 4V 0.5Ni 0.05Pd"."""
    return _VALUE_FIRST.fullmatch(key) is not None


def why_no_reading(key: str) -> str:
    """Return what is wrong with a word that has the shape of a reading; empty where it has not.

    >>> why_no_reading("xr18.2")
    '"Xr" is not the symbol of an element; readings look like cr18.2'
    """
    match = _ONE.fullmatch(key)
    if match is None:
        return ""
    symbol, _, number, _ = match.groups()
    if symbol not in SYMBOLS:
        return f'"{symbol.title()}" is not the symbol of an element; readings look like cr18.2'
    return f"'{key}' is no grade of the library, and a reading needs 0 to 100 %"


def slipped_points(key: str) -> tuple[str, ...]:
    """Return the readings that a word would be with a point in its number; empty where it has no such shape.

    >>> slipped_points("cr182"), slipped_points("brass")
    (('cr18.2', 'cr1.82'), ())
    """
    match = _WHOLE.fullmatch(key)
    symbol = key.rstrip("0123456789")
    if match is None or symbol not in SYMBOLS or len(key) - len(symbol) < 3:
        return ()
    figures = key[len(symbol) :]
    return tuple(f"{symbol}{figures[:cut]}.{figures[cut:]}" for cut in (2, 1) if len(figures) > cut)
