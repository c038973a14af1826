"""Short words of a yard's own on the entry line, written out: text to text."""

import re
from collections.abc import Mapping

from console.ground.mass import NUMBER

_WORD = re.compile(rf"(?P<before>(?:^|(?<=\s))(?:{NUMBER})?)(?P<word>[^\W\d_][\w-]*)(?=[\s.,+?*]|$)")
_NOTE = ";"


def in_words(line: str, words: Mapping[str, str]) -> str:
    """Return the line with what each short word stands for; in a note nothing is changed.

    Args:
        line: As typed.
        words: Short word, in small letters -> what it stands for.

    >>> in_words("8.6cp.t m0 ; cp", {"cp": "copper pipe"})
    '8.6 copper pipe.t m0 ; cp'
    """

    def written_out(found: re.Match[str]) -> str:
        meant = words.get(found["word"].casefold())
        if meant is None:
            return found[0]
        return f"{found['before']} {meant}".lstrip()

    body, sign, note = line.partition(_NOTE)
    return f"{_WORD.sub(written_out, body)}{sign}{note}" if words else line
