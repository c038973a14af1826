"""Every name of a grade, and how directly it names it."""

import re
from collections.abc import Iterator
from enum import IntEnum
from typing import NamedTuple, TypeAlias

from grade_library.grade import Grade
from grade_library.naming.name_text import squash


class NameRank(IntEnum):
    """How directly a name names a grade; less is more direct."""

    GRADE_ID = 0
    UNS = 1
    EN = 2
    OTHER = 3
    """Another published or trade name."""
    SHORT = 4
    """A short form that leaves the system out: "1050" for SAE 1050, "360" for C36000."""
    NEAR = 5
    """The name of a grade elsewhere that is only near to this one."""


NameRow: TypeAlias = tuple[str, str, int]
"""Name as written, squashed, and how directly it names."""


class GradeName(NamedTuple):
    """One name of one grade; a tuple, since a start makes thousands of the kept rows."""

    text: str
    squashed: str
    row: int
    """Row of the grade in the library."""
    rank: int
    """A `NameRank`."""


def names_of(grade: Grade) -> Iterator[NameRow]:
    """Yield the names of a grade, each squashed form once, the most direct first."""
    stated = [(grade.grade_id, NameRank.GRADE_ID)]
    if grade.uns:
        stated.append((grade.uns, NameRank.UNS))
    stated += [(name, NameRank.EN) for name in grade.en]
    stated += [(name, NameRank.OTHER) for name in grade.names]
    if found := _SAE.fullmatch(grade.grade_id):
        # Everybody calls these steels by the bare number, which may be an aluminium alloy's too.
        stated.append((found[1], NameRank.OTHER))
    stated += [(short, NameRank.SHORT) for name, _ in list(stated) for short in _short_forms(name, grade)]
    stated += [(name, NameRank.NEAR) for name in grade.near_names]
    seen = set()
    for text, rank in stated:
        squashed = squash(text)
        if squashed and squashed not in seen:
            seen.add(squashed)
            yield text, squashed, rank


_SAE = re.compile(r"SAE (\w+)")
_SYSTEM_WORD = re.compile(
    r"(?:SAE|AISI|ASTM|EN AW|EN AC|EN AB|EN|BS|DIN|JIS|AMS|UNS|AA|Alloy|Type|Grade|Gr\.?|Ti|Zinc|Zamak|AW|AC)"
    r"[- ]+(?=\S*\d)",
    re.IGNORECASE,
)


def _short_forms(name: str, grade: Grade) -> Iterator[str]:
    """Yield what people say for short of one stated name."""
    short = name
    while found := _SYSTEM_WORD.match(short):
        short = short[found.end() :]
        yield short
    if name.endswith(".0"):
        yield name[:-2]
    if copper := re.fullmatch(r"C(\d{3})00", name):
        yield f"C{copper[1]}"
        yield f"CDA {copper[1]}"
        yield copper[1]
        yield f"{copper[1]}00"
    elif copper := re.fullmatch(r"C(\d{3}\d{2})", name):
        yield copper[1]
    if grade.group == "magnesium" and (base := re.fullmatch(r"([A-Z]{2}\d+)[A-E]", name)):
        yield base[1]
    if found := _SAE.fullmatch(name):
        yield f"AISI {found[1]}"
        yield f"C{found[1]}"
