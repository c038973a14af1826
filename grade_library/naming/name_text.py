"""The ways in which people write one and the same name."""

import re
import unicodedata
from collections.abc import Iterator

_CAST_POINT = re.compile(r"(?<![\d.])([a-z]?\d{3})[.](\d)(?!\d)")
_NOT_NAME = re.compile(r"[\W_]+")
"""What a name is told by stays: letters of any script, for those left out would make another name of it."""
_TOKEN = re.compile(r"[^\W_]+(?:[.][^\W_]+)*")
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
LONGEST_NAME = 80
"""Nothing longer is a name [signs]; keeps a pasted page from costing time."""

PREFIXES = (
    *("aisi", "sae", "uns", "en", "enaw", "enac", "enab", "aw"),
    *("ac", "astm", "asme", "aa", "cda", "din", "jis", "bs"),
    *("ams", "alloy", "type", "tp", "grade", "gr", "in", "inco"),
    *("werkstoff", "werkstoffnummer", "wnr", "wst", "w", "nr", "no", "mat"),
    *("material", "steel", "sus", "inox", "alu", "number"),
)
"""Words before a number that only name the system it belongs to."""
SUFFIXES = (
    *("ss", "inox", "2b", "2d", "2r", "1d", "ba", "hl"),
    *("no1", "no4", "no8", "4n", "brushed", "mirror", "polished", "annealed"),
    *("ann", "hard", "half", "quarter", "full", "spring", "temper", "ht"),
    *("clean", "scrap", "solids", "new", "old", "alloy", "type", "grade"),
    *("series", "fg", "sheet", "plate", "bar", "rod", "tube", "pipe"),
    *("wire", "strip", "foil", "coil", "extrusion", "casting", "castings", "forging"),
    *("ingot", "turnings", "material"),
)
"""Words after a name that tell temper, finish or condition (common practice)."""

_GLUED_PREFIX = re.compile(
    r"(?:aisi|sae|uns|enaw|enac|enab|en(?=[a-z]|[1-3][.]?\d{4})|astm|aa|cda|in(?=\d{3})|tp|alloy|type|grade|gr|werkstoffnr|wnr|sus|alu|inox|ss)"
    r"(?=[0-9a-z]*\d)"
)
_GLUED_TEMPER = re.compile(
    r"(?<=\d)(?:t\d{1,4}|h\d{2,3})$|(?<=\d{4})[ofw]$|(?<=\d[a-z])(?:t\d{1,4}|h\d{2,3})$"
)
_BARE_TEMPER = re.compile(
    r"t\d{1,4}|h\d{2,4}|[ofw0]|hh|ht|td\d\d|tb00|tf00|th0[0-9]|h0[0-9]|[oO]6[0-9]|o\d{2}"
)


def squash(text: str) -> str:
    """Return the name without case, blanks and signs; the point of a casting number stays: 705.0 is not 7050.

    >>> squash("EN AW-6061"), squash("X5CrNi18-10")
    ('enaw6061', 'x5crni1810')
    """
    return _NOT_NAME.sub("", _CAST_POINT.sub(r"\1p\2", plain(text)))


def plain(text: str) -> str:
    """Return the text in lower case, accents and full-width forms taken off, Cyrillic in Latin letters.

    >>> plain("Späne"), plain("12Х18Н10Т")
    ('spane', '12kh18n10t')
    """
    if text.isascii():
        return text.lower()
    decomposed = unicodedata.normalize("NFKD", text.casefold())  # casefold makes ss of a sharp s
    return "".join(sign for sign in decomposed if not unicodedata.combining(sign)).translate(_CYRILLIC)


_CYRILLIC = str.maketrans(
    dict(zip("абвгдезиклмнопрстуфцэы", "abvgdeziklmnoprstufcey", strict=True))
    | {"ж": "zh", "х": "kh", "ч": "ch", "ш": "sh", "щ": "shch", "ю": "yu", "я": "ya", "ъ": "", "ь": ""}
)
"""As Russian designations are written abroad (common practice; GOST 7.79 differs in few signs)."""

UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
"""How German is typed without its letters."""

_NUMBER_ENDINGS = (
    *(("s", ""), ("es", ""), ("x", ""), ("en", "e"), ("en", ""), ("n", ""), ("e", ""), ("e", "a")),
    *(("i", "o"), ("i", "e"), ("hi", "o"), ("he", "a"), ("ces", "z"), ("aux", "al")),
    *(("ves", "f"), ("ves", "fe"), ("i", "io")),
)
"""Ends of a plural and what stands there in the singular, in the five languages."""
_GENDER_ENDINGS = (
    *(("er", ""), ("em", ""), ("a", "o"), ("as", "o"), ("e", "o"), ("es", "o"), ("nnes", "n"), ("lle", "l")),
)
"""Ends that only an adjective has, by the thing that it stands with, and what stands there otherwise."""
_SHORTEST_NOUN = 6
"""A plural of fewer letters is mostly another word, "came" or "force"; but for one in s, es or x."""


def singulars(word: str, *, is_noun: bool = False) -> Iterator[str]:
    """Yield what a word may be the plural of, plain letters: a guess to be looked up, not a rule.

    Args:
        word: Plain letters.
        is_noun: It has one gender and changes with number alone; an adjective changes with both.

    >>> "tubo" in singulars("tubi"), "rohr" in singulars("rohre"), "box" in singulars("boxes")
    (True, True, True)
    """
    for ending, instead in _NUMBER_ENDINGS if is_noun else (*_NUMBER_ENDINGS, *_GENDER_ENDINGS):
        if is_noun and len(word) < _SHORTEST_NOUN and (ending[-1] not in "sx" or instead):
            continue
        if word.endswith(ending) and not word.endswith("sss"):
            yield word[: len(word) - len(ending)] + instead


def plural(word: str) -> str:
    """Return a word as a plural may be written, in English, French, Spanish and, of one in e, in German."""
    return word + "n" if word.endswith("e") else word + "s"


def tokens(text: str) -> tuple[str, ...]:
    """Return the words and numbers of a name, a point inside kept.

    >>> tokens("W.Nr. 1.4301"), tokens("70/30 Brass")
    (('w.nr', '1.4301'), ('70', '30', 'brass'))
    """
    return tuple(_TOKEN.findall(_DECIMAL_COMMA.sub(".", plain(text))))


def bare_variants(text: str) -> Iterator[str]:
    """Yield the squashed name without prefixes, tempers and finishes, the fewest removals first.

    >>> list(bare_variants("6061-T6"))
    ['6061']
    >>> "304" in bare_variants("AISI 304 2B"), "316l" in bare_variants("316L ss")
    (True, True)
    """
    words = [squash(word) for word in tokens(text)]
    seen = {"".join(words)}
    for removed in range(len(words)):
        for at_front in range(removed + 1):
            front, back = words[:at_front], words[len(words) - (removed - at_front) :]
            kept = words[at_front : len(words) - (removed - at_front)]
            if not all(word in PREFIXES for word in front) or not all(_is_suffix(word) for word in back):
                continue
            joined = "".join(kept)
            for variant in (joined, *_without_glued(joined)):
                if variant and variant not in seen:
                    seen.add(variant)
                    yield variant


def _is_suffix(word: str) -> bool:
    return word in SUFFIXES or _BARE_TEMPER.fullmatch(word) is not None


def _without_glued(name: str) -> Iterator[str]:
    """Yield the name without a prefix or temper written onto it: "aisi304", "6061t6"."""
    without_prefix = _GLUED_PREFIX.sub("", name, count=1) if _GLUED_PREFIX.match(name) else name
    for variant in (_GLUED_TEMPER.sub("", name), without_prefix, _GLUED_TEMPER.sub("", without_prefix)):
        if variant != name:
            yield variant


_LOOKALIKES = str.maketrans({"o": "0", "l": "1", "i": "1", "s": "5", "b": "8", "z": "2"})


def lookalike(name: str) -> str | None:
    """Return the name with letters among figures read as the figures they look like; None without any.

    >>> lookalike("3o4"), lookalike("3l6l"), lookalike("brass")
    ('304', '316l', None)
    """
    changed = re.sub(r"(?<=\d)[olisbz](?=\d)", lambda found: found[0].translate(_LOOKALIKES), name)
    return changed if changed != name else None
