"""Finishes a word begun on the entry line, on the line's own understanding of what stands there."""

import functools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from console.entry.claims import LONGEST_NAME
from console.entry.splitting import Word, split_line
from console.entry.vocabulary import BY_WORD
from console.entry.yard_words import YardWords
from grade_library.naming.names import NameIndex

MOST_COMPLETIONS = 12
"""More than this is a search, not a completion."""
LEAST_FIGURES = 3
"""A number of fewer figures is a weight being typed, not a grade."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Completions:
    """How the words before the cursor can be finished."""

    start: int
    """Where the word begins that is replaced."""
    ways: tuple[str, ...] = ()
    """What may stand in its place, the likeliest first; of a name of several words what is still missing."""


def complete(
    line: str,
    cursor: int,
    names: NameIndex | None,
    yard: YardWords | None,
    often: Mapping[str, float] = MappingProxyType({}),
    said: Sequence[str] = (),
) -> Completions:
    """Return what may stand in place of the word that ends at the cursor.

    A word after @ is a bay and nothing else. Names said before come first; then, where the words before the
    last begin a name or phrase of several words, that name; then bays, words and names that the last word
    alone begins. A note is text: nothing in it is finished.

    Args:
        line: The whole entry line.
        cursor: Place in it, 0..len(line).
        names: Names of the grades; None offers none.
        yard: Its bays and techniques; None offers none.
        often: Grade id -> how often it is met here: of names the likelier come first.
        said: Names said before, case-folded, the last one first.

    >>> complete("12.4kg pai", 10, None, None).ways
    ('paint', 'painted')
    >>> complete("3 spark b", 9, None, None).ways[0]
    'bursting'
    """
    again = said_again(line, cursor, said)
    split = split_line(line[:cursor])
    if split.note is not None or not split.words or split.words[-1].end != cursor:
        return again
    begun = split.words[-1]
    unique: dict[str, str] = {begun.key: begun.text}
    named = functools.partial(_names, names=names, often=often)
    for way in (*again.ways, *_ways(split.words, yard, named)):
        unique.setdefault(way.casefold(), way)
    return Completions(start=begun.start, ways=tuple(unique.values())[1 : MOST_COMPLETIONS + 1])


def said_again(line: str, cursor: int, said: Sequence[str]) -> Completions:
    """Return how the words before the cursor go on to a name that was said before.

    Behind a weight its first letter or figure is enough, and a blank alone brings each of them.

    >>> said_again("12.4 6", 6, ("6063", "yellow brass", "6061")).ways
    ('6063', '6061')
    >>> said_again("12.4 yellow ", 12, ("6063", "yellow brass")).ways
    ('brass',)
    >>> said_again("6", 1, ("6063",)).ways
    ()
    """
    split = split_line(line[:cursor])
    if split.note is not None or not split.words:
        return Completions(start=cursor)
    is_begun = split.words[-1].end == cursor
    keys = [word.key for word in split.words] + ([] if is_begun else [""])
    ways: dict[str, None] = {}
    for length in range(min(LONGEST_NAME, len(keys)), 0, -1):
        spoken = " ".join(keys[-length:])
        is_weight = length == len(keys) and not _may_name(spoken)
        for name in () if is_weight or spoken.startswith("@") else said:
            if name.startswith(spoken) and name != spoken:
                ways[" ".join(name.split()[length - 1 :])] = None
        if ways and not keys[-1]:
            break
    start = split.words[-1].start if is_begun else cursor
    return Completions(start=start, ways=tuple(ways)[:MOST_COMPLETIONS])


def _ways(
    words: tuple[Word, ...],
    yard: YardWords | None,
    named: Callable[[str], tuple[str, ...]],
) -> Iterator[str]:
    """Yield what can stand in place of the last word, or go on after those before it."""
    begun = words[-1]
    bays = [bay.code for bay in yard.bays] if yard else []
    if begun.key.startswith("@"):
        yield from (f"@{code}" for code in bays if f"@{code}".casefold().startswith(begun.key))
        return
    yield from _rests(words, named)
    singles = sorted({word for word in BY_WORD if " " not in word} | set(yard.techniques if yard else ()))
    yield from (word for word in (*bays, *singles) if word.casefold().startswith(begun.key))
    if _may_name(begun.key):
        yield from named(begun.text)


def _may_name(word: str) -> bool:
    """Return False for a weight being typed."""
    return not word.replace(".", "").replace(",", "").isdigit() or len(word) >= LEAST_FIGURES


def _names(begun: str, names: NameIndex | None, often: Mapping[str, float]) -> tuple[str, ...]:
    return names.complete(begun, MOST_COMPLETIONS, often) if names is not None else ()


def _rests(words: tuple[Word, ...], named: Callable[[str], tuple[str, ...]]) -> Iterator[str]:
    """Yield what is missing of every name and phrase that the last two words or more begin, longest first."""
    for length in range(min(LONGEST_NAME, len(words)), 1, -1):
        spoken = [word.key for word in words[-length:]]
        phrases = sorted(word for word in BY_WORD if word.startswith(" ".join(spoken)))
        for name in (*phrases, *named(" ".join(spoken))):
            of_name = name.split()
            if len(of_name) >= length and [one.casefold() for one in of_name[: length - 1]] == spoken[:-1]:
                yield " ".join(of_name[length - 1 :])
