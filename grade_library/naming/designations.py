"""Designations read by the rules of their systems: which kind of metal a number or symbol stands for.

A designation that the library bears is found by its name; this module is for the others, so that a grade
that a
system knows is never given to the nearest string. Sources of the rules: EN 10027-1 and -2 (steel names and
group
numbers), EN 1412, EN 573 and EN 1780 (copper and aluminium), DIN 17007-4 (2.xxxx and 3.xxxx), SAE J1086 (UNS
letters), JIS, GB, GOST, BS and ASTM numbering as in common use: memory throughout, no document was seen.
"""

import functools
import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from grade_library.naming.alloy_symbols import Kind, kind_of_symbol
from grade_library.naming.name_text import plain
from grade_library.naming.system_tables import NUMBERS, PATTERNS, TRIES

_NUMBER = re.compile(
    r"(?:en|din|w|wnr|werkstoff|mat|w-?nr|nr|no)?[ .:-]*([0123])[., ]([0-9]{4})(?:[.][0-9]{2})?"
)
_SYSTEM_WORDS = frozenset(
    {
        *("astm", "asme", "aisi", "sae", "api", "5l", "uns", "en", "aw", "ac"),
        *("ab", "din", "jis", "bs", "gb", "is", "gost", "aa", "type", "tp"),
        *("grade", "gr", "gr.", "class", "cl", "cl.", "w.nr", "w.nr.", "wnr", "werkstoff"),
        *("nr", "nr.", "g", "gk", "gd", "st", "stahl", "fe", "ss", "ms"),
        *("a", "b", "c"),
    }
)
"""Words that may stand beside the figures of a designation; any other makes it a phrase and no
designation."""
_SPELT = re.compile(r"g?x ?\d{1,3} ?[a-z]{4,}[ \d-]*")
"""A name by composition with blanks: X5 CrNi 18-10."""
_CONDITION = re.compile(r"(?: ?\+ ?[a-z]{1,2}\d{0,4})+$")
"""How a steel or copper of EN is delivered: S355J2+N, 42CrMo4+QT, 1.4301+2B (EN 10025, EN 10083; memory)."""
_LONGEST = 24


_UNS_SIGN = re.compile(r"(?<=^uns)-", re.IGNORECASE)
"""UNS-C82600 is UNS C82600."""


def tried_names(text: str) -> tuple[str, ...]:
    """Return how the library may call what a designation of another system means, the likelier first.

    >>> tried_names("SUS304"), tried_names("A5052"), tried_names("S30403H"), tried_names("brass")
    (('304',), ('5052',), ('s30403',), ())
    """
    asked = _tidy(_UNS_SIGN.sub(" ", text))
    found = []
    for pattern, build in TRIES:
        if (match := pattern.fullmatch(asked)) is not None:
            found += [match.expand(way) for way in build]
    return tuple(found)


@functools.lru_cache(maxsize=4096)
def designated(text: str) -> Kind | None:
    """Return what a designation stands for by its system, None where it is none.

    >>> designated("1.7228").said, designated("3.7195").groups, designated("X6CrNiMoTi17-12-2").families
    ('an alloyed engineering steel', ('titanium',), ('austenitic stainless',))
    """
    asked = _tidy(text)
    if len(asked) > _LONGEST or not any(sign.isdigit() for sign in asked):
        return None
    is_spelt = _SPELT.fullmatch(asked) is not None
    if not is_spelt and any(word.isalpha() and word not in _SYSTEM_WORDS for word in asked.split()):
        return None
    return next((found for read in _READERS if (found := read(asked)) is not None), None)


def _tidy(text: str) -> str:
    return " ".join(plain(text).split())


def _by_number(asked: str) -> Kind | None:
    """Read the material numbers of EN and DIN: 1.xxxx steel, 2.xxxx heavy and 3.xxxx light metals."""
    match = _NUMBER.fullmatch(asked)
    if match is None:
        return None
    number = f"{match[1]}.{match[2]}"
    for first, last, kind in NUMBERS:
        if first <= number[: len(first)] <= last:
            return replace(kind, system="EN or DIN number")
    return None


def _by_symbols(asked: str) -> Kind | None:
    """Read a name that spells the composition: 42CrMo4, CuZn39Pb3, AlSi9Cu3, 06Cr19Ni10, 12Kh18N10T."""
    if " " in asked and _SPELT.fullmatch(asked) is None:
        return None  # "2 cr18 ni8" is a weight and two readings
    kind = kind_of_symbol(asked)
    return None if kind is None else replace(kind, system="name by composition")


def _by_pattern(asked: str) -> Kind | None:
    """Read what the numbering systems tell by prefix and shape."""
    squashed = re.sub(r"[ ._/-]", "", _CONDITION.sub("", asked))
    for pattern, system, kind in PATTERNS:
        if system == "AFNOR" and squashed.startswith("a") and not asked.startswith("a-"):
            continue  # AZ91 is a magnesium alloy, A-Z5G an aluminium one
        if pattern.fullmatch(squashed) is not None:
            return replace(kind, system=system)
    return None


_READERS: Sequence[Callable[[str], Kind | None]] = (_by_number, _by_pattern, _by_symbols)
