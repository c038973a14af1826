"""Look-up of grades by any name that a yard or a certificate uses."""

import bisect
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from grade_library.facts import Claim
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.naming.grade_names import NameRank
from grade_library.naming.name_catalogue import Hit, Meaning, NameCatalogue
from grade_library.naming.name_text import lookalike, plain, squash
from grade_library.naming.trade_words import TradeWord, library_words

MOST_CLOSE_GRADES = 8
"""A slip of the finger that could mean more grades than this says nothing."""
LONGEST_NAME = 80
"""Nothing longer is a name [signs]; keeps a pasted page from costing time."""
MOST_OFFERS = 4
"""Names offered in one question."""
_SHORTEST_GUESS = 3
_SHORTEST_GUESSED_WORD = 5
"""A word without figures shorter than this is not guessed at: "bar" is no slip for "kovar"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """One grade that a text can mean."""

    grade: Grade
    score: float
    """0..100: 100 for a stated name, from 97 for words and short forms, below for parts and slips."""
    via: str
    """The name that matched."""
    is_exact: bool
    """The text is a name of the grade, prefixes and tempers aside; False where it is only close."""


class NameIndex:
    """Finds the grades of one library by name; build it once, a look-up takes about a millisecond."""

    def __init__(self, library: GradeLibrary, trade_words: Iterable[TradeWord] | None = None) -> None:
        words = library.words if trade_words is None else trade_words
        self._answers = (*library.grades, *(material.as_answer() for material in library.materials))
        self._made_of = library.made_of
        self._catalogue = NameCatalogue(library, [*words, *library_words(library.grades)])
        self._squashed = sorted(self._catalogue.names, key=lambda name: (len(name), name))
        self._guessable = [*self._squashed, *self._catalogue.words_squashed]
        self._completions = self._sorted_completions()

    def _sorted_completions(self) -> list[tuple[str, str]]:
        shown = {
            (name.squashed, name.text)
            for names in self._catalogue.names.values()
            for name in names
            if name.rank < NameRank.SHORT
        }
        shown |= {("".join(key), word.label) for key, word in self._catalogue.words.items()}
        return sorted(shown)

    def resolve(self, text: str) -> Claim | None:
        """Return what a typed name means: one grade, all the grades it can mean, or None.

        Args:
            text: As typed: "304", "aisi 316L 2B", "6061-T6", "yellow brass", "300 series".

        >>> from grade_library.library import load
        >>> index = NameIndex(load())
        >>> index.resolve("6061-T6").label, len(index.resolve("6xxx").grade_ids) > 10, index.resolve("??")
        ('6061', True, None)
        """
        if not squash(text) or len(text) > LONGEST_NAME:
            return None
        named = self._catalogue.meaning(text)
        meaning = named or self._guess(text)
        if meaning is None:
            return None
        return self._claim(text, meaning, is_exact=named is not None)

    def _claim(self, text: str, meaning: Meaning, *, is_exact: bool) -> Claim:
        """Return the claim of a meaning; one that can be metal or thing has to be asked back."""
        first = self._catalogue.first_material
        grades = frozenset(self._answers[hit.row].grade_id for hit in meaning.hits if hit.row < first)
        materials = tuple(self._answers[hit.row].grade_id for hit in meaning.hits if hit.row >= first)
        ask, offers = meaning.ask, meaning.offers
        if grades and materials and not ask:
            ask = "the metal, or the thing?"
            offers = (*self._offered(meaning), *materials)[:MOST_OFFERS]
        if not ask:
            made_of = [self._made_of[material] for material in materials]
            grades = grades.union(*made_of) if all(made_of) else grades
        return Claim(
            text=text,
            label=meaning.label,
            grade_ids=grades,
            is_exact=is_exact,
            material_ids=materials,
            ask=ask,
            offers=offers,
        )

    def _offered(self, meaning: Meaning) -> list[str]:
        """Return what to call the grades of a meaning in a question."""
        grades = [hit for hit in meaning.hits if hit.row < self._catalogue.first_material]
        if len(grades) == 1:
            return [self._answers[grades[0].row].grade_id]
        families = dict.fromkeys(self._answers[hit.row].family for hit in grades)
        return list(families)[:2]

    def find(self, text: str, limit: int = 8) -> tuple[Match, ...]:
        """Return the grades that a text can mean, best first; equal scores go by the shorter name, then id.

        Args:
            text: As typed, complete or not.
            limit: At most so many.

        >>> from grade_library.library import load
        >>> [match.grade.grade_id for match in NameIndex(load()).find("en aw 6082 t6", limit=1)]
        ['6082']
        """
        if not squash(text) or len(text) > LONGEST_NAME or limit < 1:
            return ()
        named = self._catalogue.meaning(text)
        best = {hit.row: (hit, True) for hit in (named.hits if named else ())}
        for tier in (self._looking_alike, self._beginning, self._containing, self._similar):
            if len(best) >= limit:
                break
            for hit in tier(text):
                if hit.row not in best or (hit.score > best[hit.row][0].score and not best[hit.row][1]):
                    best[hit.row] = (hit, False)
        ranked = sorted(best.values(), key=lambda found: (-found[0].score, len(found[0].via), found[0].row))
        return tuple(
            Match(grade=self._answers[hit.row], score=hit.score, via=hit.via, is_exact=is_exact)
            for hit, is_exact in ranked[:limit]
        )

    def complete(self, prefix: str, limit: int = 20) -> tuple[str, ...]:
        """Return names and trade words that begin so, the shortest first; none for an empty prefix."""
        asked = squash(prefix)
        if not asked:
            return ()
        start = bisect.bisect_left(self._completions, (asked, ""))
        stop = bisect.bisect_left(self._completions, (asked + "\U0010ffff", ""))
        found = sorted(self._completions[start:stop], key=lambda name: (len(name[0]), name))
        return tuple(dict.fromkeys(text for _, text in found))[:limit]

    def _guess(self, text: str) -> Meaning | None:
        """Return what a slip of the finger most likely meant, None where it could be too many things."""
        alike = lookalike(plain(text))
        if alike is not None and (meaning := self._catalogue.meaning(alike)):
            return meaning
        asked = squash(text)
        if len(asked) < _SHORTEST_GUESS or (asked.isalpha() and len(asked) < _SHORTEST_GUESSED_WORD):
            return None
        most_slips = 1 if len(asked) <= 6 else 2
        found = process.extract(
            asked, self._guessable, scorer=OSA.distance, score_cutoff=most_slips, limit=50
        )
        if not found:
            return None
        fewest = min(slips for _, slips, _ in found)
        near = {name: fuzz.ratio(asked, name) for name, slips, _ in found if slips == fewest}
        nearest = [name for name, likeness in near.items() if likeness == max(near.values())]
        return self._one_of(list(near)) or self._one_of(nearest)

    def _one_of(self, names: list[str]) -> Meaning | None:
        """Return what a few squashed names mean together, None where that is too many grades."""
        hits = [hit for name in names for hit in self._hits_of(name, 90.0)]
        by_row = {hit.row: hit for hit in reversed(hits)}
        is_word = len(names) == 1 and names[0] in self._catalogue.words_squashed
        if len(by_row) > MOST_CLOSE_GRADES and not is_word:
            return None
        said = list(dict.fromkeys(hit.via for hit in hits))
        label = self._answers[hits[0].row].grade_id if len(by_row) == 1 else " or ".join(said[:4])
        return Meaning(label, tuple(by_row.values()))

    def _hits_of(self, name: str, score: float) -> list[Hit]:
        """Return the grades of a squashed name or word."""
        key = self._catalogue.words_squashed.get(name)
        if key is not None:
            word = self._catalogue.words[key]
            return [Hit(row, word.label, score) for row in word.rows]
        return [Hit(found.row, found.text, score - 0.1 * found.rank) for found in self._catalogue.names[name]]

    def _looking_alike(self, text: str) -> Iterator[Hit]:
        alike = lookalike(plain(text))
        meaning = None if alike is None else self._catalogue.meaning(alike)
        for hit in meaning.hits if meaning else ():
            yield Hit(hit.row, hit.via, hit.score - 8.0)

    def _beginning(self, text: str) -> Iterator[Hit]:
        asked = squash(text)
        for name in self._squashed:
            if name.startswith(asked) and name != asked:
                yield from self._hits_of(name, max(80.0, 91.0 - len(name) + len(asked)))

    def _containing(self, text: str) -> Iterator[Hit]:
        asked = squash(text)
        for name in self._squashed if len(asked) > 1 else ():
            if asked in name and not name.startswith(asked):
                yield from self._hits_of(name, max(70.0, 79.5 - 0.5 * (len(name) - len(asked))))

    def _similar(self, text: str) -> Iterator[Hit]:
        found = process.extract(squash(text), self._guessable, scorer=fuzz.ratio, score_cutoff=55.0, limit=30)
        for name, likeness, _ in found:
            yield from self._hits_of(name, 0.88 * likeness)
