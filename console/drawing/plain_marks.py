"""Which drawn marks have which plain twin, and how text is kept safe on its way to the terminal."""

import re
from collections.abc import Sequence
from typing import Any

from rich.cells import cell_len
from rich.segment import Segment
from textual.app import App
from textual.color import Color
from textual.filter import LineFilter

UNSAFE = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ud800-\udfff]"
)
"""Control characters and those that turn the direction of writing; none may reach a terminal as text."""

TWINS = {
    **dict.fromkeys("─━═…", "-"),
    **dict.fromkeys("│┃║", "|"),
    **dict.fromkeys("┌┐└┘├┤┬┴┼╭╮╰╯╔╗╚╝", "+"),
    **dict.fromkeys("█■▒", "#"),
    **dict.fromkeys("░·", "."),
    **dict.fromkeys("●•▲▼", "*"),
    **dict.fromkeys("▶→", ">"),
    **dict.fromkeys("◀←", "<"),
    **dict.fromkeys("–—−", "-"),
    **dict.fromkeys("‘’", "'"),
    **dict.fromkeys("“”", '"'),
    "━": "=",
    "…": "~",
    "✗": "x",
    "×": "x",
    "±": "?",
    "°": "d",
    "µ": "u",
    "σ": "s",
    "≤": "<",
    "≥": ">",
    "≈": "~",
    "↑": "^",
    "↓": "v",
    "²": "2",
    "³": "3",
    **dict.fromkeys("½¼¾", "?"),
    "€": "E",
    "\xa0": " ",
}
"""Drawn mark -> its twin in plain ASCII, one cell each."""
_TWIN_TABLE = str.maketrans(TWINS)
WIDER_TWINS = {
    "±": "+-",
    "≤": "<=",
    "≥": ">=",
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "€": "EUR",
    "σ": "sigma",
}
"""Mark -> what says the same in more cells; it stands where blanks behind it can make room."""
_FRAME = frozenset("│┃║|")


def plain(text: str) -> str:
    """Return text in ASCII that takes exactly as many cells: twins where there are any, `?` elsewhere.

    >>> plain("╭─ 12.4 -> 3 ─╮"), plain("Zoë"), plain("銅")
    ('+- 12.4 -> 3 -+', 'Zo?', '??')
    """
    return plain_row([text])[0]


def plain_row(texts: Sequence[str]) -> list[str]:
    """Return the parts of one row in ASCII, together of exactly as many cells.

    What stands behind a wider twin moves by its further cells, up to the next gap between columns; so every
    column stays where it was.

    >>> plain_row(["Cu 0.04 ± 0.03   ", ">99 % kept"]), plain_row(["2±1", "  │"]), plain_row(["2±1"])
    (['Cu 0.04 +-0.03   ', '>99 % kept'], ['2+-1', ' |'], ['2?1'])
    """
    if any(mark in text for text in texts for mark in WIDER_TWINS):
        texts = _widened(texts)
    return [_single(text) for text in texts]


def _single(text: str) -> str:
    text = text.translate(_TWIN_TABLE)
    if text.isascii():
        return text
    return "".join(character if character.isascii() else "?" * cell_len(character) for character in text)


def _widened(texts: Sequence[str]) -> list[str]:
    """Return the parts with the wider twins that there is room for."""
    row = [(character, part) for part, text in enumerate(texts) for character in text]
    at = 0
    while at < len(row):
        mark, part = row[at]
        twin = WIDER_TWINS.get(mark, mark)
        if "/" in twin[1:] and at > 0 and row[at - 1][0].isdigit():
            twin = f" {twin}"  # 11/2 would be another figure than one and a half
        gap = _blanks_to_take([character for character, _ in row], at, len(twin) - 1)
        if gap is not None:
            row[at : at + 1] = [(letter, part) for letter in twin]
            gap += len(twin) - 1 if gap > at else 0
            del row[gap : gap + len(twin) - 1]
        at += 1
    return ["".join(letter for letter, of in row if of == part) for part in range(len(texts))]


def _blanks_to_take(row: Sequence[str], at: int, count: int) -> int | None:
    """Return where so many blanks can go to make room for the twin of a mark; None where nowhere."""
    if not count:
        return None
    has_blank_before = at > 0 and row[at - 1] == " "
    if count == 1 and has_blank_before and row[at + 1 : at + 2] == [" "]:
        return at + 1
    for start in range(at + 1, len(row) - count):
        if row[start] in _FRAME:
            break
        if all(character == " " for character in row[start : start + count + 1]):
            return start
    if count > 1:
        return None
    return at - 1 if has_blank_before else _blank_behind_comma(row, at)


def _blank_behind_comma(row: Sequence[str], at: int) -> int | None:
    """Return where a list goes on behind a mark: "0.16±0.10, Mn" has no other blank to give."""
    for start in range(at + 1, len(row) - 1):
        if row[start] in _FRAME or row[start] in WIDER_TWINS:
            return None
        if row[start] == "," and row[start + 1] == " ":
            return start + 1
    return None


class TerminalSafe(LineFilter):
    """Last door before the terminal: no control characters, and on a plain terminal nothing but ASCII."""

    def __init__(self, *, is_plain: bool) -> None:
        super().__init__()
        self.is_plain = is_plain

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments with every text made safe; the width of the line stays as it was."""
        texts = [segment.text for segment in segments if not segment.control]
        safe = [UNSAFE.sub(lambda found: "?" * cell_len(found[0]), text) for text in texts]
        if self.is_plain and not all(text.isascii() for text in safe):
            safe = plain_row(safe)
        if safe == texts:
            return segments
        left = iter(safe)
        return [one if one.control else Segment(next(left), one.style) for one in segments]


def draws_plain(app: App[Any]) -> bool:
    """Return whether an app draws in ASCII; for text whose plain signs are wider than their twins."""
    return any(isinstance(one, TerminalSafe) and one.is_plain for one in app.get_line_filters())
