"""What a word or number that names nothing may be a slip of: offered to be asked, seldom taken."""

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from grade_library.grade import Grade
from grade_library.naming.grade_names import NameRank
from grade_library.naming.name_catalogue import Meaning, NameCatalogue
from grade_library.naming.name_text import LONGEST_NAME, lookalike, plain, squash

MOST_CLOSE_GRADES = 8
"""A slip of the finger that could mean more grades than this says nothing."""
MOST_OFFERS = 4
"""Names offered in one question."""
LIKE_ENOUGH = 0.75
"""Least likeness (0..1, two letters changed over are one slip) at which a word that begins alike is offered
for one that is unknown. Measured on the lists of tests/outside_checks, names and words of the line together:
180 of 196 misspelt words get a hint by it, and 65 of 243 words that mean nothing in the trade; at 0.66 it
would be 188 and 113, at 0.8 139 and 33."""
_SHORTEST_GUESS = 3
_SHORTEST_GUESSED_WORD = 5
"""A word without figures shorter than this is not guessed at: "bar" is no slip for "kovar"."""


def begins_alike(typed: str, name: str) -> bool:
    """Return True where the first letter is right, or changed over with the second: fingers rarely miss
    it."""
    return typed[:1] in (name[:1], name[1:2])


class Slips:
    """Finds what was meant by a text that names nothing just as it stands."""

    def __init__(self, catalogue: NameCatalogue, answers: tuple[Grade, ...]) -> None:
        self._catalogue = catalogue
        self._tables = catalogue.tables
        self._answers = answers

    def near(self, text: str, limit: int = MOST_OFFERS) -> tuple[str, ...]:
        """Return names that the text may be a slip of, the likeliest first: to be asked, never to be taken.

        A slip in a figure is another grade; so of names with figures only those one slip away are offered,
        two figures changed over counting as one. Of words those are offered that are at least LIKE_ENOUGH.
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
                asked, self._tables.slippable, scorer=scorer, score_cutoff=LIKE_ENOUGH, limit=4 * limit
            )
            said = [
                self._tables.words[self._tables.words_squashed[name]].label
                for name, _, _ in found
                if begins_alike(asked, name)
            ]
        else:
            slips = process.extract(
                asked, self._tables.squashed, scorer=OSA.distance, score_cutoff=1, limit=None
            )
            # Two figures changed over are the commonest slip of all.
            alike_first = sorted(slips, key=lambda slip: sorted(slip[0]) != sorted(asked))
            said = [self._tables.names[name][0].text for name, _, _ in alike_first if not name.isalpha()]
        return tuple(dict.fromkeys(said))[:limit]

    def _said(self, meaning: Meaning) -> str:
        return self._answers[meaning.hits[0].row].grade_id if len(meaning.hits) == 1 else meaning.label

    def guess(self, text: str) -> Meaning | None:
        """Return what a slip in a word most likely meant, None where it could be too many things.

        A name with figures is guessed only where letters stand for the figures they look like; a word only
        where everything equally near is of one group: what is near across groups has to be asked.
        """
        alike = lookalike(plain(text))
        if alike is not None and (meaning := self._catalogue.meaning(alike)):
            return meaning
        asked = squash(text)
        if len(asked) < _SHORTEST_GUESSED_WORD or not (asked.isalpha() or any(map(str.isdigit, asked[2:]))):
            return None
        most_slips = 1 if len(asked) <= 6 else 2
        close = process.extract(
            asked, self._tables.guessable, scorer=OSA.distance, score_cutoff=most_slips, limit=50
        )
        # "hopper" is no slip for copper: fingers rarely miss the first letter of a word.
        found = [one for one in close if not asked.isalpha() or begins_alike(asked, one[0])]
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
        if any(
            self._tables.words[key].ask for name in names if (key := self._tables.words_squashed.get(name))
        ):
            return None
        hits = [hit for name in names for hit in self._tables.hits_of(name, 90.0)]
        by_row = {hit.row: hit for hit in reversed(hits)}
        is_word = all(name in self._tables.words_squashed for name in names)
        if not by_row or (len(by_row) > MOST_CLOSE_GRADES and not is_word):
            return None
        said = list(dict.fromkeys(hit.via for hit in hits))
        label = self._answers[hits[0].row].grade_id if len(by_row) == 1 else " or ".join(said[:4])
        return Meaning(label, tuple(by_row.values()))

    def one_swap_away(self, name: str) -> tuple[str, ...]:
        """Return the grades, at most two, whose name is another with two neighbouring signs changed over."""
        others = (
            name[:place] + name[place + 1] + name[place] + name[place + 2 :]
            for place in reversed(range(len(name) - 1))
        )
        found = [
            self._answers[one.row].grade_id
            for other in others
            if other != name
            for one in self._tables.names.get(other, ())
            if one.rank <= NameRank.OTHER
        ]
        return tuple(dict.fromkeys(found))[:2]
