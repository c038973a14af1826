"""Reports for a screen reader: one fact a line in words, nothing drawn, no columns that must line up."""

import re
from collections.abc import Iterable, Mapping, Sequence

WIDE = 2_000
"""Columns of a text that shall not be folded."""
_RULE = re.compile(r"[-=─━═_ ]*")
_BLANKS = re.compile(r"\s{2,}")
_FIGURE = re.compile(r"\d")
_NUMBER = re.compile(r"\d+\.")
NOTHING = "·"
SPOKEN = {
    "->": "to",
    "→": "to",
    "±": " plus or minus ",
    "≤": "at most ",
    "≥": "at least ",
    "<=": "at most ",
    ">=": "at least ",
    "≈": "about ",
    "µ": "micro",
    "σ": " sigma",
    "·": ",",
    "…": "...",
}
"""Sign -> how it is said."""
_SIGNS = re.compile("|".join(re.escape(sign) for sign in sorted(SPOKEN, key=len, reverse=True)))
FOR_AND_AGAINST = {"+ ": "for: ", "- ": "against: "}
"""Mark at the beginning of a reason -> how it is said."""


def said(text: str) -> str:
    """Return one line in words: no signs that are not read out, blanks only between words.

    >>> said("Cu <=0.4    0.29 ± 0.10   kept 87 %")
    'Cu at most 0.4, 0.29 plus or minus 0.10, kept 87 %'
    >>> said(" 2. 28.6%  304L, austenitic stainless")
    '2. 28.6%, 304L, austenitic stainless'
    """
    return ", ".join(_cells(text))


def lines_in_words(lines: Iterable[str], marks: Mapping[str, str] | None = None) -> list[str]:
    """Return lines laid out for eyes as lines for ears; rules and empty lines are left out.

    In a table every figure gets the word that stands at the head of its column.

    Args:
        lines: Not folded: lay them out for WIDE columns.
        marks: Mark at the beginning of a line -> the word for it.

    >>> lines_in_words(["bay        pieces   weight", "STN  18-8       2  3.50 kg", "total           2"])
    ['STN, 18-8: pieces 2, weight 3.50 kg', 'total: pieces 2']
    """
    kept = [line for line in lines if not line.strip() or not _RULE.fullmatch(line)]
    words, heads = [], []
    for number, line in enumerate(kept):
        cells = _cells(_marked(line, marks or {}))
        following = _cells(kept[number + 1]) if number + 1 < len(kept) else []
        if _is_head(cells, following):
            heads = cells
        elif heads and len(cells) > 1:
            words.append(_row(cells, heads))
        else:
            heads = []
            if cells:
                words.append(", ".join(cells))
    return words


def _marked(line: str, marks: Mapping[str, str]) -> str:
    text = line.strip()
    mark = next((mark for mark in marks if text.startswith(mark)), "")
    return marks[mark] + text.removeprefix(mark) if mark else text


def _cells(line: str) -> list[str]:
    """Return what stands between two blanks and more, in words."""
    cells = [_spoken(cell) for cell in _BLANKS.split(line.strip()) if cell]
    if len(cells) > 1 and _NUMBER.fullmatch(cells[0]):
        cells[:2] = [f"{cells[0]} {cells[1]}"]
    return cells


def _spoken(cell: str) -> str:
    if cell == NOTHING:
        return "none"
    spoken = _SIGNS.sub(lambda found: SPOKEN[found[0]], cell)
    return _BLANKS.sub(" ", spoken).strip()


def _is_head(cells: Sequence[str], following: Sequence[str]) -> bool:
    """Tell a row of heads: words only, above a row of as many cells with figures in them."""
    return (
        len(cells) > 2
        and len(following) >= len(cells)
        and not any(_FIGURE.search(cell) for cell in cells)
        and any(_FIGURE.search(cell) for cell in following[1 - len(cells) :])
    )


def _row(cells: Sequence[str], heads: Sequence[str]) -> str:
    """Return a row of a table with the head of every figure beside it; a name may take several cells."""
    names = max(1, len(cells) - len(heads) + 1)
    figures = ", ".join(f"{head} {cell}" for head, cell in zip(heads[1:], cells[names:], strict=False))
    return f"{', '.join(cells[:names])}: {figures}"
