"""Which drawn marks have which plain twin, and how text is kept safe on its way to the terminal."""

import re
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
    "±": "~",
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
    "½": "%",
    "€": "E",
    "\xa0": " ",
}
"""Drawn mark -> its twin in plain ASCII, one cell each."""
_TWIN_TABLE = str.maketrans(TWINS)


def plain(text: str) -> str:
    """Return text in ASCII that takes exactly as many cells: twins where there are any, `?` elsewhere.

    >>> plain("╭─ 12.4 ≥ 3 ─╮"), plain("Zoë"), plain("銅")
    ('+- 12.4 > 3 -+', 'Zo?', '??')
    """
    text = text.translate(_TWIN_TABLE)
    if text.isascii():
        return text
    return "".join(character if character.isascii() else "?" * cell_len(character) for character in text)


class TerminalSafe(LineFilter):
    """Last door before the terminal: no control characters, and on a plain terminal nothing but ASCII."""

    def __init__(self, *, is_plain: bool) -> None:
        super().__init__()
        self.is_plain = is_plain

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """Return the segments with every text made safe; the width of the line stays as it was."""
        safe = []
        for segment in segments:
            text, style, control = segment
            if not control:
                if UNSAFE.search(text):
                    text = UNSAFE.sub(lambda found: "?" * cell_len(found[0]), text)
                if self.is_plain and not text.isascii():
                    text = plain(text)
                if text is not segment.text:
                    segment = Segment(text, style)
            safe.append(segment)
        return safe


def draws_plain(app: App[Any]) -> bool:
    """Return whether an app draws in ASCII; for text whose plain signs are wider than their twins."""
    return any(isinstance(one, TerminalSafe) and one.is_plain for one in app.get_line_filters())
