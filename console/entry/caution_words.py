"""Words of the entry line that call for a caution: understood, but no fact about the metal."""

import functools
from collections.abc import Mapping
from types import MappingProxyType

from console.entry.claims import bare_of, exact, names_thing
from console.entry.draft import Draft
from console.entry.token_kind import TokenKind
from console.entry.vocabulary import reserved
from console.ground.mass import is_number
from grade_library.cautions import all_cautions
from grade_library.naming.names import NameIndex


@functools.cache
def _title_by_word() -> Mapping[str, str]:
    """Return each trigger word without blanks -> title of the most urgent caution that it calls for."""
    titles: dict[str, str] = {}
    for caution in all_cautions():
        for word in caution.words:
            titles.setdefault(bare_of(word), caution.title)
    return MappingProxyType(titles)


@functools.cache
def _most_words() -> int:
    return max(len(word.split()) for caution in all_cautions() for word in caution.words)


def take_cautions(draft: Draft, names: NameIndex | None, *, least: int) -> None:
    """Take the phrases that call for a caution, longest first; before names can take a word of them.

    A phrase that names a metal stays a name ("wheel weights"), and a word of it that is reserved keeps its
    meaning ("sodium valve" has the form of a valve). In "lead paint" and "lead acid" lead is no name: what
    the phrase speaks of is not made of it. In "titanium swarf" it is: the other word is a form of the metal.

    Args:
        draft: The line so far.
        names: Names of the grades.
        least: Words of a phrase: single ones are taken after the names of several words.
    """
    for first in draft.free_words():
        for length in range(draft.free_run(first, _most_words()), least - 1, -1):
            last = first + length - 1
            title = caution_title(draft.key(first, last))
            if title is not None and not _means_something_else(draft, names, first, last):
                _take(draft, names, first, last, title)
                break


def caution_title(phrase: str) -> str | None:
    """Return the title of the caution that a word or phrase calls for, plural or not; None for none.

    >>> caution_title("Gas-Bottles")
    'Closed container'
    """
    squashed = bare_of(phrase)
    titles = _title_by_word()
    return titles.get(squashed) or titles.get(squashed.removesuffix("s"))


def _means_something_else(draft: Draft, names: NameIndex | None, first: int, last: int) -> bool:
    """Return True when the phrase names a metal or is part of a thing's name, or its number must be the
    weight."""
    if exact(names, draft.key(first, last)) is not None or names_thing(draft, names, first, last):
        return True
    inside = [index for index in range(first, last + 1) if is_number(draft.key(index))]
    numbers = [index for index in draft.free_words() if is_number(draft.key(index))]
    return bool(inside) and not draft.of_kind(TokenKind.WEIGHT) and len(numbers) <= len(inside)


def _take(draft: Draft, names: NameIndex | None, first: int, last: int, title: str) -> None:
    """Take the words of a phrase, adjacent ones as one, leaving those that mean something by themselves."""
    words = range(first, last + 1)
    meant = {index: word for index in words if (word := reserved(draft.key(index))) is not None}
    has_form = any(word.kind is TokenKind.FORM for word in meant.values())
    start: int | None = None
    for index in [*words, last + 1]:
        is_left = index > last or index in meant or (has_form and exact(names, draft.key(index)) is not None)
        if is_left and start is not None:
            draft.take(TokenKind.CAUTION, start, index - 1, f"caution: {title.lower()}")
        start = None if is_left else index if start is None else start
