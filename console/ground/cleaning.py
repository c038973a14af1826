"""Takes control characters out of any text that a person, a file or a scanner hands in."""

import re
import unicodedata

# Control characters, zero-width and direction marks, lone surrogates: a terminal may obey them or fail.
_UNSAFE = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ud800-\udfff]"
)
_BLANKS = re.compile("[\r\n\t]")

STAND_IN = "\ufffd"
"""Shown where a character was taken out: the sign that a terminal's own decoder uses for a broken byte."""


def clean(text: str, limit: int | None = None) -> str:
    """Return the text on one line, composed (NFC), with every character that a terminal might obey replaced.

    Line ends and tabs become blanks; nothing else is dropped unless a limit is given.

    Args:
        text: Anything typed, pasted, read or scanned.
        limit: Most characters to keep, > 0; None keeps all.

    >>> clean("12.4kg\\t304\\x1b[31m")
    '12.4kg 304�[31m'
    """
    composed = unicodedata.normalize("NFC", _BLANKS.sub(" ", text))
    return _UNSAFE.sub(STAND_IN, composed)[:limit]
