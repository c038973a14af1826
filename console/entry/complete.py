"""Finishes a word begun on the entry line: bay codes, reserved words, names of metals."""

from console.entry.claims import LONGEST_NAME
from console.entry.vocabulary import BY_WORD
from console.entry.yard_words import YardWords
from grade_library.naming.names import NameIndex

MOST_COMPLETIONS = 12
"""More than this is a search, not a completion."""


def complete(line: str, cursor: int, names: NameIndex | None, yard: YardWords | None) -> tuple[str, ...]:
    """Return what may stand in place of the word that ends at the cursor, the likeliest first.

    Of a name of several words only the rest is returned: after "yellow br" it is "brass".

    Args:
        line: The whole entry line.
        cursor: Place in it, 0..len(line).
        names: Names of the grades; None offers none.
        yard: Its bays and techniques; None offers none.

    >>> complete("12.4kg pai", 10, None, None)
    ('paint', 'painted')
    """
    before = line[:cursor]
    if ";" in before or not before or before[-1].isspace():
        return ()
    begun = before.split()[-1]
    folded = begun.casefold()
    ways = [bay.code for bay in yard.bays if bay.code.casefold().startswith(folded)] if yard else []
    if yard and folded.startswith("@"):
        ways = [f"@{bay.code}" for bay in yard.bays if bay.code.casefold().startswith(folded[1:])]
    words = {word for word in BY_WORD if " " not in word} | set(yard.techniques if yard else ())
    ways += sorted(word for word in words if word.startswith(folded))
    if names is not None and not _is_weight_like(folded):
        ways += _names(before.split(), names)
    unique = dict.fromkeys(way for way in ways if way.casefold() != folded)
    return tuple(unique)[:MOST_COMPLETIONS]


def _is_weight_like(word: str) -> bool:
    """Return True for a number below three figures: a weight being typed, not a grade."""
    return word.replace(".", "").replace(",", "").isdigit() and len(word) < 3


def _names(words: list[str], names: NameIndex) -> list[str]:
    """Return the rest of each name that the last words may begin, the longest beginning first."""
    found: list[str] = []
    for length in range(min(LONGEST_NAME, len(words)), 0, -1):
        for name in names.complete(" ".join(words[-length:]), MOST_COMPLETIONS):
            rest = name.split()[length - 1 :]
            spoken = [word.casefold() for word in name.split()[: length - 1]]
            if rest and spoken == [word.casefold() for word in words[-length:-1]]:
                found.append(" ".join(rest))
    return found
