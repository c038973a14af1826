"""How long, wide, thick or strong a piece is: kept, and nothing of the metal."""

import re

from console.entry.draft import Draft
from console.entry.token_kind import ASKED_BACK, TokenKind
from console.ground.mass import NUMBER, is_number

_LENGTHS = (
    *("mm", "cm", "inch", "inches", "ft", "foot", "feet", "zoll", "pouces", "pulgadas", "pollici"),
    *("mm2", "sqmm", "awg", "swg", "gauge"),
    *("volt", "volts", "watt", "litre", "litres"),
)
_SIZE = re.compile(rf"{NUMBER}(?:{'|'.join(_LENGTHS)}|in|m|l|ltr|v|w|kw|hp|\"|'{{1,2}})")
_FRACTION = re.compile(r"(?:[0-9]{1,2}[-.])?[1-9][0-9]?/(?:2|4|8|16|32|64)(\"|''|in|inch|zoll)?")
"""Pipes and bolts are told in parts of an inch: 1/2, 1-1/4, 3/8in (common practice)."""
_NUMBERED = re.compile(
    r"(?:dn|awg|swg) ?[0-9]{1,4}|(?:sch|schedule) ?(?:5|10|20|30|40|60|80|100|120|140|160)s?"
)
"""Nominal diameter and wall of pipe, gauge of wire (ISO 6708, ASME B36.10; memory)."""
_SPOKEN = frozenset({"half inch", "quarter inch", "eighth inch", "half in", "quarter in", "halb zoll"})
_BEGINS = ("half", "quarter", "eighth", "halb", "dn", "awg", "swg", "sch")
"""How the words begin that are looked at; most lines have none."""
_SIZE_SAID = "said: size"


def take_fractions(draft: Draft) -> None:
    """Take what only a size is written as, before a name can claim its figures: "1/2", "sch40", "half inch".

    A fraction behind a whole number may belong to a weight ("12 1/2") and is asked.
    """
    for index, word in enumerate(draft.words):
        key = word.key
        if not ("/" in key or key.startswith(_BEGINS)) or not draft.is_free(index):
            continue
        two = draft.key(index, index + 1) if draft.is_free(index, index + 1) else ""
        fraction = _FRACTION.fullmatch(key)
        if two and (two in _SPOKEN or _NUMBERED.fullmatch(two)):
            draft.take(TokenKind.REMARK, index, index + 1, _SIZE_SAID)
        elif fraction is not None and fraction[1] is None and index and draft.key(index - 1).isdigit():
            _take_behind_number(draft, index)
        elif fraction is not None or _NUMBERED.fullmatch(key):
            draft.take(TokenKind.REMARK, index, index, _SIZE_SAID)


def _take_behind_number(draft: Draft, index: int) -> None:
    """Take "1/2" behind a whole number: where a weight stands before them the two are one size."""
    typed, whole = draft.text(index), draft.text(index - 1)
    is_weighed = any(is_number(word.key) for word in draft.words[: index - 1])
    if is_weighed and draft.is_free(index - 1):
        draft.take(TokenKind.REMARK, index - 1, index, _SIZE_SAID)
        return
    problem = f"'{whole} {typed}': a weight is typed with a point, a size {typed}in"
    draft.take(TokenKind.UNKNOWN, index, index, ASKED_BACK, problem=problem, offers=(f"{typed}in",))


def take_sizes(draft: Draft) -> None:
    """Take what says how large or strong a piece is: "15mm", "22 mm"."""
    for index in draft.free_words():
        is_apart = is_number(draft.key(index)) and draft.is_free(index + 1)
        if is_apart and draft.key(index + 1) in _LENGTHS:
            draft.take(TokenKind.REMARK, index, index + 1, _SIZE_SAID)
        elif _SIZE.fullmatch(draft.key(index)):
            draft.take(TokenKind.REMARK, index, index, _SIZE_SAID)
