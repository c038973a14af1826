"""Weights, counts, density and conductivity on an entry line."""

import itertools
import math
import re
from collections.abc import Callable
from fractions import Fraction

from console.entry.amounts.weighed import UNITS, is_tared, take_about, take_scale_word, take_weight
from console.entry.draft import Draft
from console.entry.token_kind import ASKED_BACK, TokenKind
from console.entry.yard_words import YardWords
from console.ground.mass import NUMBER, as_fraction, is_number
from grade_library.bench.physics import hydrostatic_density
from grade_library.errors import ObservationError
from grade_library.facts import Measured

_WEIGHT = re.compile(rf"[+-]?{NUMBER}(?:{UNITS})")
_UNIT = re.compile(rf"(?:{UNITS})")
_COUNT = re.compile(r"(?:[x×]([0-9]{1,6})|([0-9]{1,6})(?:[x×]|pcs?|pieces?|off|no\.))")
_LINE_PIPE = re.compile(r"x(?:42|46|52|56|60|65|70|80)")
"""Grades of line pipe (API 5L) that look like a count."""
_LINE_PIPE_SYSTEM = ("api", "5l", "pipe")
"""Before the grade they leave no doubt."""
_LETTER_AND_NUMBER = re.compile(r"gr [0-9]{1,3}|[tg] [0-9]{5}|[x×] [0-9]{3}")
"""Letters before a number that count something as a rule, and name a grade where the library has it."""
_EN_COPPER = re.compile(r"c[bcrswx]")
"""Letters before the figures of a copper alloy by EN 1412."""
_PIECES = ("pc", "pcs", "piece", "pieces")
_DIGITS = re.compile(r"[0-9]{1,6}").fullmatch
_SPREAD = rf"(?:(?:±|\+/?-)({NUMBER}))?"
_DENSITY = re.compile(rf"(?:d|density)[=:]?({NUMBER}){_SPREAD}(?:g/cm3|g/cc)?")
_WEIGHED = re.compile(rf"(?:d|density)[=:]?({NUMBER})/({NUMBER})")
_IACS = re.compile(rf"(?:iacs[=:]?({NUMBER})%?|({NUMBER})%?iacs){_SPREAD}")

LARGEST_COUNT = 10_000
"""More pieces than this on one line are a slip (our own bound)."""
DENSITY_RANGE_G_CM3 = (0.5, 23.0)
"""Foamed metal to osmium (22.6): outside it the number is a slip."""
BUCKET_CELSIUS, BUCKET_SIGMA_CELSIUS = 18.0, 5.0
"""Water that stands in a bucket at the bench, and how well that is known (own choice): 0.1 % of a density."""
IACS_RANGE_PCT = (0.1, 110.0)
"""Poor conductors to pure silver (106 % IACS), with room for the meter's error."""


def take_quantities(draft: Draft, yard: YardWords | None, is_grade: Callable[[str], bool]) -> None:
    """Take the weights with a unit or a tare, the counts, densities and conductivities."""
    take_about(draft)
    take_scale_word(draft, yard)
    for index in draft.free_words():
        key = draft.key(index)
        following = draft.key(index + 1) if draft.is_free(index + 1) else ""
        if _is_in_name(draft, index, is_grade):
            continue
        if is_tared(key):
            if not _has_figures(draft, index, is_grade) and not draft.of_kind(TokenKind.WEIGHT):
                take_weight(draft, index, index, yard)
        elif _WEIGHT.fullmatch(key):
            take_weight(draft, index, index, yard)
        elif is_number(key) and _UNIT.fullmatch(following) and not _begins_name(draft, index + 1, is_grade):
            take_weight(draft, index, index + 1, yard)
        elif _LINE_PIPE.fullmatch(key) and is_grade(key):
            if _begins_symbol(draft, index, is_grade):
                continue
            if index == 0 or draft.key(index - 1) not in _LINE_PIPE_SYSTEM:
                _take_line_pipe(draft, index)
        elif _COUNT.fullmatch(key):
            if not (_begins_symbol(draft, index, is_grade) or _ends_name(draft, index, is_grade)):
                _take_count(draft, index, index)
        elif (_DIGITS(key) and following in _PIECES) or (
            key in ("x", "×") and _DIGITS(following) and not _begins_name(draft, index, is_grade)
        ):
            _take_count(draft, index, index + 1)
        elif match := _DENSITY.fullmatch(key):
            # "d2" is a tool steel, "d2.0" a density, and "d712.0" a casting.
            is_name = key[1:].isdigit() or as_fraction(match.group(1)) > DENSITY_RANGE_G_CM3[1]
            if not (is_name and is_grade(key)):
                _take_measured(draft, index, TokenKind.DENSITY, match.group(1), match.group(2))
        elif match := _WEIGHED.fullmatch(key):
            _take_weighings(draft, index, match.group(1), match.group(2))
        elif match := _IACS.fullmatch(key):
            number = match.group(1) or match.group(2)
            _take_measured(draft, index, TokenKind.CONDUCTIVITY, number, match.group(3))


def _begins_name(draft: Draft, index: int, is_grade: Callable[[str], bool]) -> bool:
    """Return True where what may be a unit or a count begins a name: "gr 2", "T 12005", "x 750"."""
    if not draft.is_free(index, index + 1):
        return False
    phrase = draft.key(index, index + 1)
    return _LETTER_AND_NUMBER.fullmatch(phrase) is not None and is_grade(phrase)


def _is_in_name(draft: Draft, index: int, is_grade: Callable[[str], bool]) -> bool:
    """Return True for the figures of a copper alloy of EN: "CW 306 G", whose last letter is no unit."""
    if index == 0 or not draft.is_free(index - 1) or _EN_COPPER.fullmatch(draft.key(index - 1)) is None:
        return False
    ends = (index, index + 1)
    return any(draft.is_free(index - 1, end) and is_grade(draft.key(index - 1, end)) for end in ends)


def _has_figures(draft: Draft, index: int, is_grade: Callable[[str], bool]) -> bool:
    """Return True where two figures belong to a name: "60-40", "nickel silver 65-18", "89-11 tin bronze";
    "640-28" is a gross weight and its tare."""
    runs = itertools.product(range(max(0, index - 3), index + 1), range(index, index + 3))
    return any(draft.is_free(first, last) and is_grade(draft.key(first, last)) for first, last in runs)


def _begins_symbol(draft: Draft, index: int, is_grade: Callable[[str], bool]) -> bool:
    """Return True where "x5" begins a name of several words: "X5 CrNi 18-10"."""
    ends = (index + 2, index + 1)
    return any(draft.is_free(index, end) and is_grade(draft.key(index, end)) for end in ends)


def _ends_name(draft: Draft, index: int, is_grade: Callable[[str], bool]) -> bool:
    """Return True where "x750" ends the name of a grade: "Alloy X750"."""
    is_behind = index > 0 and draft.is_free(index - 1, index) and not is_number(draft.key(index - 1))
    return is_behind and is_grade(draft.key(index - 1, index))


def _take_line_pipe(draft: Draft, index: int) -> None:
    """Ask whether "x52" counts pieces or is a grade of line pipe."""
    typed = draft.text(index)
    problem = f"'{typed}': {typed[1:]} pieces, or line pipe {typed.upper()}?"
    offers = (f"API 5L {typed.upper()}", f"{typed[1:]}pcs")
    draft.take(TokenKind.UNKNOWN, index, index, ASKED_BACK, problem=problem, offers=offers)


def _take_count(draft: Draft, first: int, last: int) -> None:
    count = int(re.sub(r"[^0-9]", "", draft.key(first, last)) or 0)
    problem = ""
    if not 1 <= count <= LARGEST_COUNT:
        problem = f"type x1 to x{LARGEST_COUNT} beside the weight, as in 12.4kg x3: {count} pieces cannot be"
    draft.take(
        TokenKind.COUNT,
        first,
        last,
        "1 piece" if count == 1 else f"{count} pieces",
        problem=problem,
        value=None if problem else count,
    )


def _take_weighings(draft: Draft, index: int, air: str, water: str) -> None:
    """Take the weights in air and in water as the density that they come to.

    Each weight is known to the last figure that was typed, evenly spread (JCGM 100, 4.3.7).
    """
    low, high = DENSITY_RANGE_G_CM3
    step_g = 10.0 ** -min(_decimals(air), _decimals(water))
    try:
        found = hydrostatic_density(
            float(as_fraction(air)),
            float(as_fraction(water)),
            celsius=BUCKET_CELSIUS,
            sigma_g=step_g / math.sqrt(12.0),
            sigma_celsius=BUCKET_SIGMA_CELSIUS,
        )
        problem = "" if low <= found.value <= high else f"density {found.value:.3g} g/cm3: slipped point?"
    except ObservationError as error:
        found, problem = None, str(error)
    meaning = f"density {found.value:.3g} ± {found.sigma:.1g} g/cm3" if found else "no density"
    value = None if problem else found
    draft.take(TokenKind.DENSITY, index, index, meaning, problem=problem, value=value)


def _decimals(number: str) -> int:
    """Return how many figures stand behind the point."""
    return len(number.replace(",", ".").partition(".")[2])


_MEASURED = {
    TokenKind.DENSITY: ("density", "g/cm3", DENSITY_RANGE_G_CM3),
    TokenKind.CONDUCTIVITY: ("conductivity", "% IACS", IACS_RANGE_PCT),
}
"""Kind -> what it is called, its unit, and what metals can have."""


def _take_measured(draft: Draft, index: int, kind: TokenKind, number: str, spread: str | None) -> None:
    """Take one word as a measured value, refused outside what metals can have."""
    name, unit, (low, high) = _MEASURED[kind]
    value = float(as_fraction(number))
    sigma = None if spread is None else as_fraction(spread)
    meaning = f"{name} {value:g} {unit}" if sigma is None else f"{name} {value:g} ± {float(sigma):g} {unit}"
    problem = ""
    if not low <= value <= high:
        problem = f"{name} {value:g} {unit}: metals have {low:g} to {high:g}; slipped point?"
    elif sigma is not None and sigma <= Fraction(0):
        problem = f"{name}: the uncertainty after +- needs to be above 0"
    measured = None if problem else Measured(value=value, sigma=None if sigma is None else float(sigma))
    draft.take(kind, index, index, meaning, problem=problem, value=measured)
