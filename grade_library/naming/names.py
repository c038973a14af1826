"""Look-up of grades by any name that a yard or a certificate uses."""

import bisect
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from grade_library.facts import Claim
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.naming.designations import designated, tried_names
from grade_library.naming.grade_names import NameRank
from grade_library.naming.name_catalogue import Hit, Meaning, NameCatalogue
from grade_library.naming.name_text import lookalike, plain, squash
from grade_library.naming.trade_words import GradeIds, TradeWord, word_key

MOST_CLOSE_GRADES = 8
"""A slip of the finger that could mean more grades than this says nothing."""
LONGEST_NAME = 80
"""Nothing longer is a name [signs]; keeps a pasted page from costing time."""
MOST_OFFERS = 4
"""Names offered in one question."""
LIKE_ENOUGH = 0.75
"""Least likeness (0..1, two letters changed over are one slip) at which a word that begins alike is
offered for one
that is unknown. Measured on the lists of tests/outside_checks: 170 of 194 misspelt words lie above it, and
35 of 185
words that mean nothing in the trade; at 0.66 it would be 185 and 76, at 0.8 157 and 13."""
_LAST_SIGN = "\U0010ffff"
"""Sorts behind every other sign."""
_SHORT_SCORE = 100.0 - 0.1 * NameRank.SHORT
"""Score of a short form: that of a stated name lies above it."""
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
    is_near: bool
    """The name belongs to a grade elsewhere that is only near to this one (`Grade.near_names`)."""


def _short_first(name: str) -> tuple[int, str]:
    return len(name), name


def begins_alike(typed: str, name: str) -> bool:
    """Return True where the first letter is right, or changed over with the second: fingers rarely miss
    it."""
    return typed[:1] in (name[:1], name[1:2])


class NameIndex:
    """Finds the grades of one library by name; build it once, a look-up takes about a millisecond."""

    def __init__(self, library: GradeLibrary, trade_words: Iterable[TradeWord] | None = None) -> None:
        self._answers = (*library.grades, *(material.as_answer() for material in library.materials))
        self._made_of = library.made_of
        self._ids = GradeIds(library.grades)
        self._catalogue = NameCatalogue(library, trade_words)
        self._squashed = sorted(self._catalogue.names, key=_short_first)
        self._alphabetical = sorted(self._squashed)
        self._all_names = "".join(f"{name}\n" for name in self._squashed)
        self._words = list(self._catalogue.words_squashed)
        self._guessable = [*self._squashed, *self._words]
        self._completions = self._sorted_completions()

    def _sorted_completions(self) -> list[tuple[str, str]]:
        shown = {
            (name.squashed, name.text)
            for names in self._catalogue.names.values()
            for name in names
            if name.rank is not NameRank.SHORT
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
        if (claim := self.exact(text)) is not None:
            return claim
        meaning = self._guess(text)
        return None if meaning is None else self._claim(text, meaning, is_exact=False)

    def exact(self, text: str) -> Claim | None:
        """Return what a typed name means as it stands or by its system; None where it could only be
        guessed at."""
        if not squash(text) or len(text) > LONGEST_NAME:
            return None
        named = self._named(text)
        return self._by_system(text) if named is None else self._claim(text, named, is_exact=True)

    def has(self, text: str) -> bool:
        """Return True where the text is a name or word of the dictionary just as it stands."""
        return word_key(text) in self._catalogue.words or squash(text) in self._catalogue.names

    def _named(self, text: str) -> Meaning | None:
        """Return what the text names: as it stands, in another system, or once prefixes and tempers are off.

        What is left of a designation ("SS400" less "SS") counts only where it is of the kind that the
        whole means.
        """
        meaning = self._catalogue.meaning(text) or self._elsewhere(text)
        if meaning is not None:
            return meaning
        bare, by_system = self._catalogue.bare(text), self._by_system(text)
        if bare is None or by_system is None:
            return bare
        named = {self._answers[hit.row].grade_id for hit in bare.hits}
        return bare if named <= by_system.grade_ids else None

    def _elsewhere(self, text: str) -> Meaning | None:
        """Return the meaning of a designation that the library holds under another system's name."""
        for name in tried_names(text):
            found = self._catalogue.grade_meaning(squash(name), "")
            if found is not None:
                return found
        return None

    def _by_system(self, text: str) -> Claim | None:
        """Return the kind that a designation stands for, where the library lacks the grade itself."""
        known = designated(text)
        if known is None:
            return None
        label = text.strip()
        word = TradeWord(
            word=label, families=known.families, groups=known.groups, series=known.series, source="memory"
        )
        members = frozenset(word.members(self._ids))
        if not members:
            return None
        remark = f"{known.said} by its {known.system}, not in the library"
        slips = self._one_swap_away(squash(text))
        remark += f"; or {' or '.join(slips)} with two signs changed over?" if slips else ""
        return Claim(
            text=text,
            label=f"{label} kind",
            grade_ids=members,
            remark=remark,
            is_exact=not slips,
            offers=slips,
        )

    def _claim(self, text: str, meaning: Meaning, *, is_exact: bool) -> Claim:
        """Return the claim of a meaning; one that can be metal or thing has to be asked back."""
        first = self._catalogue.first_material
        grades = frozenset(self._answers[hit.row].grade_id for hit in meaning.hits if hit.row < first)
        materials = tuple(self._answers[hit.row].grade_id for hit in meaning.hits if hit.row >= first)
        ask, offers = meaning.ask, meaning.offers
        if grades and materials and not ask and not self._is_one_metal(grades, materials):
            ask = "the metal, or the thing?"
            offers = (*self._offered(meaning), *materials)[:MOST_OFFERS]
        if not ask and (slips := self._changed_over(text, meaning)):
            ask = f"{meaning.label}, or {' or '.join(slips)} with two figures changed over?"
            offers = (meaning.hits[0].via if len(meaning.hits) > 1 else meaning.label, *slips)[:MOST_OFFERS]
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
            is_near=bool(meaning.hits) and all(self._is_near(hit) for hit in meaning.hits),
        )

    def _is_near(self, hit: Hit) -> bool:
        return hit.via in self._answers[hit.row].near_names

    def _is_one_metal(self, grades: frozenset[str], materials: tuple[str, ...]) -> bool:
        """Return True where metal and thing are of one base: wheel weights are lead, whichever is meant."""
        return (
            len({answer.base for answer in self._answers if answer.grade_id in grades.union(materials)}) == 1
        )

    def _changed_over(self, text: str, meaning: Meaning) -> list[str]:
        """Return what a bare number may be a slip for: "340" is short for C34000, and 304 changed over."""
        number = text.strip()
        if not number.isdecimal() or any(hit.score > _SHORT_SCORE for hit in meaning.hits):
            return []
        return list(self._one_swap_away(number))

    def _one_swap_away(self, name: str) -> tuple[str, ...]:
        """Return the grades whose stated name is another with two neighbouring signs changed over, at most
        two."""
        others = (
            name[:place] + name[place + 1] + name[place] + name[place + 2 :]
            for place in reversed(range(len(name) - 1))
        )
        found = [
            self._answers[one.row].grade_id
            for other in others
            if other != name
            for one in self._catalogue.names.get(other, ())
            if one.rank <= NameRank.OTHER
        ]
        return tuple(dict.fromkeys(found))[:2]

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
        named = self._named(text)
        best = {hit.row: (hit, True) for hit in (named.hits if named else ())}
        for tier in (self._looking_alike, self._beginning, self._containing, self._similar):
            if len(best) >= limit:
                break
            for hit in tier(text):
                if hit.row not in best or (hit.score > best[hit.row][0].score and not best[hit.row][1]):
                    best[hit.row] = (hit, False)
        ranked = sorted(best.values(), key=lambda found: (-found[0].score, len(found[0].via), found[0].row))
        return tuple(
            Match(
                grade=self._answers[hit.row],
                score=hit.score,
                via=hit.via,
                is_exact=is_exact,
                is_near=self._is_near(hit),
            )
            for hit, is_exact in ranked[:limit]
        )

    def complete(self, prefix: str, limit: int = 20) -> tuple[str, ...]:
        """Return names and trade words that begin so, the shortest first; none for an empty prefix."""
        asked = squash(prefix)
        if not asked:
            return ()
        start = bisect.bisect_left(self._completions, (asked, ""))
        stop = bisect.bisect_left(self._completions, (asked + _LAST_SIGN, ""))
        found = sorted(self._completions[start:stop], key=lambda name: (len(name[0]), name))
        return tuple(dict.fromkeys(text for _, text in found))[:limit]

    def near(self, text: str, limit: int = MOST_OFFERS) -> tuple[str, ...]:
        """Return names that the text may be a slip of, the likeliest first: to be asked, never to be taken.

        A slip in a figure is another grade; so of names with figures only those one slip away are offered,
        two
        figures changed over counting as one. Of words those are offered that are at least LIKE_ENOUGH.
        """
        asked = squash(text)
        if len(asked) < _SHORTEST_GUESS or len(text) > LONGEST_NAME:
            return ()
        alike = lookalike(plain(text))
        if alike is not None and (meaning := self._catalogue.meaning(alike)) is not None:
            return (self._said(meaning),)
        if asked.isalpha():
            scorer = OSA.normalized_similarity
            found = process.extract(
                asked, self._words, scorer=scorer, score_cutoff=LIKE_ENOUGH, limit=4 * limit
            )
            said = [
                self._catalogue.words[self._catalogue.words_squashed[name]].label
                for name, _, _ in found
                if begins_alike(asked, name)
            ]
        else:
            slips = process.extract(asked, self._squashed, scorer=OSA.distance, score_cutoff=1, limit=None)
            # Two figures changed over are the commonest slip of all.
            alike_first = sorted(slips, key=lambda slip: sorted(slip[0]) != sorted(asked))
            said = [self._catalogue.names[name][0].text for name, _, _ in alike_first if not name.isalpha()]
        return tuple(dict.fromkeys(said))[:limit]

    def _said(self, meaning: Meaning) -> str:
        return self._answers[meaning.hits[0].row].grade_id if len(meaning.hits) == 1 else meaning.label

    def _guess(self, text: str) -> Meaning | None:
        """Return what a slip in a word most likely meant, None where it could be too many things.

        A name with figures is guessed only where letters stand for the figures they look like; a word only
        where
        everything equally near is of one group: what is near across groups has to be asked.
        """
        alike = lookalike(plain(text))
        if alike is not None and (meaning := self._catalogue.meaning(alike)):
            return meaning
        asked = squash(text)
        if len(asked) < _SHORTEST_GUESSED_WORD or not (asked.isalpha() or any(map(str.isdigit, asked[2:]))):
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
        meaning = self._one_of(list(near)) or self._one_of(nearest)
        groups = {self._answers[hit.row].group for hit in meaning.hits} if meaning else set()
        return meaning if len(groups) == 1 else None

    def _one_of(self, names: list[str]) -> Meaning | None:
        """Return what a few squashed names mean together, None where that is too many grades."""
        if any(self._catalogue.words[key].ask for name in names if (key := self._key_of(name))):
            return None
        hits = [hit for name in names for hit in self._hits_of(name, 90.0)]
        by_row = {hit.row: hit for hit in reversed(hits)}
        is_word = all(self._key_of(name) for name in names)
        if not by_row or (len(by_row) > MOST_CLOSE_GRADES and not is_word):
            return None
        said = list(dict.fromkeys(hit.via for hit in hits))
        label = self._answers[hits[0].row].grade_id if len(by_row) == 1 else " or ".join(said[:4])
        return Meaning(label, tuple(by_row.values()))

    def _key_of(self, name: str) -> tuple[str, ...] | None:
        """Return the key of a squashed name where it is a trade word."""
        return self._catalogue.words_squashed.get(name)

    def _hits_of(self, name: str, score: float) -> list[Hit]:
        """Return the grades of a squashed name or word."""
        key = self._key_of(name)
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
        start = bisect.bisect_left(self._alphabetical, asked)
        stop = bisect.bisect_left(self._alphabetical, asked + _LAST_SIGN)
        for name in sorted(self._alphabetical[start:stop], key=_short_first):
            if name != asked:
                yield from self._hits_of(name, max(80.0, 91.0 - len(name) + len(asked)))

    def _containing(self, text: str) -> Iterator[Hit]:
        asked = squash(text)
        for name in self._holding(asked) if len(asked) > 1 else ():
            if not name.startswith(asked):
                yield from self._hits_of(name, max(70.0, 79.5 - 0.5 * (len(name) - len(asked))))

    def _holding(self, asked: str) -> Iterator[str]:
        """Yield the squashed names that hold a text, found in one text of all names."""
        place = self._all_names.find(asked)
        while place >= 0:
            end = self._all_names.index("\n", place)
            yield self._all_names[self._all_names.rfind("\n", 0, place) + 1 : end]
            place = self._all_names.find(asked, end)

    def _similar(self, text: str) -> Iterator[Hit]:
        found = process.extract(squash(text), self._guessable, scorer=fuzz.ratio, score_cutoff=55.0, limit=30)
        for name, likeness, _ in found:
            yield from self._hits_of(name, 0.88 * likeness)
