"""Reads the [words] table of yard.toml: short words of the yard's own, and what each stands for."""

import re
from collections.abc import Collection, Mapping

from console.entry.token_kind import TokenKind
from console.entry.vocabulary import reserved
from console.ground.cleaning import clean
from console.yard.file.fields import Fields
from console.yard.file.names import QUOTED
from console.yard.file.selectors import Selectors
from console.yard.file.techniques_table import UNIT_WORDS
from grade_library.elements import ELEMENTS

_WORD = re.compile(r"[a-z][a-z0-9-]{1,11}")
_SIGNS = re.compile(r"[;=*/<@#?]|[a-z]{1,2}[0-9]+[.,][0-9]", re.IGNORECASE)
_FOUND = frozenset({TokenKind.MAGNET, TokenKind.SCRATCH, TokenKind.SPARK})
"""What somebody finds by trying: no word finds it beforehand."""


def words_from(fields: Fields, selectors: Selectors, taken: Collection[str]) -> Mapping[str, str]:
    """Return each word, in small letters, with what stands on the line for it.

    Args:
        fields: The whole file.
        selectors: Of the grade library.
        taken: Codes of bays and names of techniques, in small letters.

    Raises:
        YardFileError: A word means something already, or what it stands for says too much.
    """
    table = fields.sub("words")
    words = {}
    for key in table.table:
        word, shown = key.casefold(), clean(key, QUOTED)
        if reason := _why_no_word(word, selectors, taken):
            raise table.wrong(shown, reason)
        stands_for = table.text(key)
        if reason := _why_not_for(stands_for):
            raise table.wrong(shown, reason)
        words[word] = stands_for
    return words


def _why_no_word(word: str, selectors: Selectors, taken: Collection[str]) -> str:
    """Return why a word cannot be one of the yard's own; empty where it can."""
    if not _WORD.fullmatch(word):
        return "needs two to twelve letters and figures, a letter first"
    if word.capitalize() in ELEMENTS:
        return f"is the symbol of {ELEMENTS[word.capitalize()].name} on an entry line; add or change a letter"
    if (known := reserved(word)) is not None:
        return f'already means "{known.meaning}" on an entry line; change a letter'
    if word in taken or word in UNIT_WORDS:
        return "is a bay, a technique, a unit or a count already; change a letter"
    if kind := selectors.kind_named(word):
        return f"names a {kind} of the grade library; change a letter"
    return ""


def _why_not_for(text: str) -> str:
    """Return why a word cannot stand for a text; empty where it can."""
    if _SIGNS.search(text):
        return f'"{text}" holds a sign or a reading; write words alone, such as "copper pipe"'
    found = [one for one in text.casefold().split() if (word := reserved(one)) and word.kind in _FOUND]
    if found:
        return f'"{found[0]}" is found on each piece anew; leave it out'
    return ""
