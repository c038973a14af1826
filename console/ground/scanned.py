"""Tags and bay codes as people type them and as scanners send them."""

import re

_PREFIX = r"\][A-Za-z][0-9A-Za-z]"
PREFIX = re.compile(_PREFIX)
"""What a scanner may send before a code: "]", a letter for its kind and a modifier, such as ]Q1 before a QR
code and ]C0 before Code 128. Source: ISO/IEC 15424, symbology identifiers, memory."""
_TAG = re.compile(r"[HC][0-9]+|[A-Z][A-Z0-9]*[0-9]{4,}")
"""A piece on hold is H and its number, a consignment C; a bale its bay and at least four digits."""
_ANY_TERMINAL = re.compile(r"[A-Z0-9_-]*[A-Z0-9]-(?:[HC][0-9]+|[A-Z0-9]+-[0-9]{4,})")


def without_prefix(word: str) -> str:
    """Return a word without what a scanner sent before it.

    >>> without_prefix("]Q1T1H7"), without_prefix("T1-H7")
    ('T1H7', 'T1-H7')
    """
    return word[3:] if PREFIX.match(word) else word


def bare_tag(tag: str) -> str:
    """Return what the spellings of a tag or of a bay code have in common; labels print it as their code.

    >>> bare_tag("T1-H7"), bare_tag("t1h7"), bare_tag("]Q1T1H7"), bare_tag("gate-2-ALO-0003")
    ('T1H7', 'T1H7', 'T1H7', 'GATE2ALO0003')
    """
    return without_prefix(tag.strip()).upper().replace("-", "").replace("_", "")


BARE_SQL = "upper(replace(replace({column}, '-', ''), '_', ''))"
"""The same in SQL, for tags that a ledger holds."""


def looks_like_a_tag(line: str, terminal: str) -> bool:
    """Tell whether a line is the tag of a piece on hold, a bale or a consignment and nothing else.

    Args:
        line: As typed or scanned.
        terminal: The terminal whose tags may be typed without the lines between; tags of another one are
            known by those.

    >>> [looks_like_a_tag(one, "T1") for one in ("T1-H7", "t1c1", "]C0T1H7", "T2-STN-0003", "]Q1T2H7")]
    [True, True, True, True, True]
    >>> [looks_like_a_tag(one, "T1") for one in ("h13", "12.4 t1h7", "t1", "17-4ph", "]Q1STN")]
    [False, False, False, False, False]
    """
    typed, bare = line.strip(), bare_tag(line)
    if not typed or len(typed.split()) > 1 or not bare.isascii():
        return False
    if typed != without_prefix(typed):
        return re.fullmatch(rf"[A-Z0-9]*(?:{_TAG.pattern})", bare) is not None
    rest = bare.removeprefix(bare_tag(terminal))
    return (rest != bare and _TAG.fullmatch(rest) is not None) or bool(_ANY_TERMINAL.fullmatch(typed.upper()))
