"""Names that a text is part of, or like: for a list from which somebody chooses."""

import bisect
import functools
from collections.abc import Iterator, Mapping, Sequence

from rapidfuzz import fuzz, process

from grade_library.naming.grade_names import NameRank
from grade_library.naming.name_catalogue import NameCatalogue
from grade_library.naming.name_tables import Hit, short_first
from grade_library.naming.name_text import lookalike, plain, squash

_LAST_SIGN = "\U0010ffff"
"""Sorts behind every other sign."""


class NameSearch:
    """Finds names by their beginning, by a part of them, and by likeness."""

    def __init__(self, catalogue: NameCatalogue) -> None:
        self._catalogue = catalogue
        self._tables = catalogue.tables

    # The lists are made when first asked for: the first key after a start only looks names up.

    @functools.cached_property
    def _alphabetical(self) -> list[str]:
        return sorted(self._tables.squashed)

    @functools.cached_property
    def _all_names(self) -> str:
        return "".join(f"{name}\n" for name in self._tables.squashed)

    @functools.cached_property
    def _completions(self) -> list[tuple[str, str]]:
        """Squashed form and name of everything that can be completed, sorted."""
        shown = {
            (name.squashed, name.text)
            for names in self._tables.names.values()
            for name in names
            if name.rank != NameRank.SHORT
        }
        shown |= {(key.replace(" ", ""), word.label) for key, word in self._tables.words.items()}
        return sorted(shown)

    def complete(self, prefix: str, limit: int, often: Mapping[str, float]) -> tuple[str, ...]:
        """Return names and trade words that begin so; none for an empty prefix.

        Args:
            prefix: As typed.
            limit: At most so many.
            often: Grade id -> how often it is met: what is met oftener comes first, then the shorter name.
        """
        asked = squash(prefix)
        if not asked:
            return ()
        start = bisect.bisect_left(self._completions, (asked, ""))
        stop = bisect.bisect_left(self._completions, (asked + _LAST_SIGN, ""))
        share = [often.get(one, 0.0) for one in self._tables.ids] if often else []
        found = sorted(
            self._completions[start:stop],
            key=lambda name: (-self._met(name[0], share), len(name[0]), name),
        )
        return tuple(dict.fromkeys(text for _, text in found))[:limit]

    def _met(self, squashed: str, share: Sequence[float]) -> float:
        """Return how often what a name can mean is met, all of it together."""
        if not share:
            return 0.0
        word = self._tables.words_squashed.get(squashed)
        rows = (
            self._tables.words[word].rows
            if word
            else {one.row for one in self._tables.names.get(squashed, ())}
        )
        return sum(share[row] for row in rows)

    def tiers(self, text: str) -> Iterator[Iterator[Hit]]:
        """Yield what the text may be, the surest way of looking first; a way is gone only when asked for."""
        yield self._looking_alike(text)
        yield self._beginning(text)
        yield self._containing(text)
        yield self._similar(text)

    def _looking_alike(self, text: str) -> Iterator[Hit]:
        alike = lookalike(plain(text))
        meaning = None if alike is None else self._catalogue.meaning(alike)
        for hit in meaning.hits if meaning else ():
            yield Hit(hit.row, hit.via, hit.score - 8.0)

    def _beginning(self, text: str) -> Iterator[Hit]:
        asked = squash(text)
        start = bisect.bisect_left(self._alphabetical, asked)
        stop = bisect.bisect_left(self._alphabetical, asked + _LAST_SIGN)
        for name in sorted(self._alphabetical[start:stop], key=short_first):
            if name != asked:
                yield from self._tables.hits_of(name, max(80.0, 91.0 - len(name) + len(asked)))

    def _containing(self, text: str) -> Iterator[Hit]:
        asked = squash(text)
        for name in self._holding(asked) if len(asked) > 1 else ():
            if not name.startswith(asked):
                yield from self._tables.hits_of(name, max(70.0, 79.5 - 0.5 * (len(name) - len(asked))))

    def _holding(self, asked: str) -> Iterator[str]:
        """Yield the squashed names that hold a text, found in one text of all names."""
        place = self._all_names.find(asked)
        while place >= 0:
            end = self._all_names.index("\n", place)
            yield self._all_names[self._all_names.rfind("\n", 0, place) + 1 : end]
            place = self._all_names.find(asked, end)

    def _similar(self, text: str) -> Iterator[Hit]:
        found = process.extract(
            squash(text), self._tables.guessable, scorer=fuzz.ratio, score_cutoff=55.0, limit=30
        )
        for name, likeness, _ in found:
            yield from self._tables.hits_of(name, 0.88 * likeness)
