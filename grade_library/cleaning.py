"""Takes control characters out of any text that a person, a file or a scanner hands in."""

import re
import unicodedata

# Control characters, zero-width and direction marks, tags, lone surrogates: a terminal may obey them or fail.
_UNSAFE = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e0fff]"
)
_BLANKS = re.compile("[\r\n\t]")
_MOST_MARKS = 30
"""Combining marks on one letter; source: Unicode Standard Annex 15, stream-safe text format, memory."""
_MAY_HOLD_MANY = re.compile(f"[^\x00-\x7f]{{{_MOST_MARKS + 1},}}")
_QUOTED = re.compile('"([^"\n]{61,})"')
_UNBROKEN = re.compile(r"\S{301,}")
LONGEST_QUOTE = 60
"""Characters of a typed text that a message quotes."""

STAND_IN = "\ufffd"
"""Shown where a character was taken out: the sign that a terminal's own decoder uses for a broken byte."""


def clean(text: str, limit: int | None = None) -> str:
    """Return the text on one line, composed (NFC), with every character that a terminal might obey replaced.

    Line ends and tabs become blanks; more than 30 combining marks on one letter become one stand-in, since
    composing takes the square of their number; nothing else is dropped unless a limit is given.

    Args:
        text: Anything typed, pasted, read or scanned.
        limit: Most characters to keep, > 0; None keeps all.

    >>> clean("12.4kg\\t304\\x1b[31m")
    '12.4kg 304�[31m'
    """
    on_one_line = _BLANKS.sub(" ", text)
    if not on_one_line.isascii():
        on_one_line = unicodedata.normalize("NFC", _MAY_HOLD_MANY.sub(_with_few_marks, on_one_line))
    return _UNSAFE.sub(STAND_IN, on_one_line)[:limit]


def told(text: str) -> str:
    """Return a message of several lines with every line cleaned and every long quotation cut.

    >>> told('"' + "x" * 70 + '" is no grade')[58:]
    'xx..." is no grade'
    """
    shown = "\n".join(clean(line) for line in text.split("\n"))
    shown = _QUOTED.sub(lambda found: f'"{found[1][: LONGEST_QUOTE - 3]}..."', shown)
    return _UNBROKEN.sub(lambda found: f"{found[0][:297]}...", shown)


def _with_few_marks(stretch: re.Match[str]) -> str:
    kept: list[str] = []
    marks = 0
    for letter in stretch[0]:
        marks = marks + 1 if unicodedata.combining(letter) else 0
        if marks <= _MOST_MARKS:
            kept.append(letter)
        elif marks == _MOST_MARKS + 1:
            kept.append(STAND_IN)
    return "".join(kept)
