"""What a text means when it names something of the dictionary exactly."""

import itertools
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from grade_library.naming.grade_names import GradeName, NameRank
from grade_library.naming.name_tables import Hit, NameTables
from grade_library.naming.name_text import bare_variants, plural, singulars, squash, tokens
from grade_library.naming.trade_words import JOINING, singular_of, word_key
from grade_library.naming.word_table import Word

_TWO_NUMBERS = re.compile(r"\d\s*[/-]\s*\d+(?!\d*[a-z])", re.IGNORECASE)
"""A ratio such as 70/30, whose figures are not one number."""
_MOST_TOKENS = 8
_LONGEST_ABBREVIATION = 3
_MOST_PLURALS = 3
"""Words of a name that are tried as plurals, each in a few ways."""
_EITHER = re.compile(r"\s*/\s*|\s+or\s+|\s+\(|\)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a text names: one grade, or several."""

    label: str
    hits: tuple[Hit, ...]
    ask: str = ""
    """What has to be asked back first; empty as a rule."""
    offers: tuple[str, ...] = ()
    is_usual: bool = False
    """A thing is named, and the hits are the metal that it usually is."""
    form: str = ""
    """Form that is told beside the metal, a value of `Form`."""
    tongue: str = ""
    """Language of the name of a thing or material; empty where it is of several."""


class NameCatalogue:
    """Says what a text means that names something just as it stands."""

    def __init__(self, tables: NameTables) -> None:
        self.tables = tables

    def meaning(self, text: str) -> Meaning | None:
        """Return what the text names as it stands, None where it names nothing."""
        return self._stated(text) or self._either(text) or self._plural(text) or self._narrowed(text)

    def grade_meaning(self, squashed: str, label: str, *, least: float = 0.0) -> Meaning | None:
        """Return the grades of a squashed name; stated names drown short forms.

        Args:
            squashed: The name.
            label: What to call several grades; empty for the name as the first of them has it.
            least: Taken off the score.
        """
        found = self._named(squashed)
        if not found:
            return None
        stated = [name for name in found if name.rank < NameRank.SHORT]
        # A bare number that is only another name of one grade is as good a short form of the next: 360, 260.
        is_open = squashed.isdigit() and all(name.rank >= NameRank.OTHER for name in found)
        hits = [
            Hit(name.row, name.text, 100.0 - 0.1 * name.rank - least)
            for name in found
            if name in stated or is_open
        ]
        hits = hits or [Hit(name.row, name.text, 100.0 - 0.1 * name.rank - least) for name in found]
        hits.sort(key=lambda hit: (-hit.score, hit.row))
        return self.labelled(label, hits)

    def _named(self, squashed: str) -> list[GradeName]:
        """Return the names of that form; one that is only near counts where no grade is called so."""
        found = self.tables.names.get(squashed, [])
        return [name for name in found if name.rank != NameRank.NEAR] or found

    def _spelt(self, text: str) -> Meaning | None:
        """Return the grades that have the name in just this spelling: "70/30" is none of an alloy 7030."""
        if not _TWO_NUMBERS.search(text):
            return None
        spelt = tokens(text)
        found = [name for name in self._named(squash(text)) if tokens(name.text) == spelt]
        return self.labelled(
            text.strip(), [Hit(name.row, name.text, 100.0 - 0.1 * name.rank) for name in found]
        )

    def labelled(self, label: str, hits: Iterable[Hit]) -> Meaning | None:
        """Return the meaning of hits, None of none; one is called by its id, several by the label."""
        by_row: dict[int, Hit] = {}
        for hit in hits:
            by_row.setdefault(hit.row, hit)
        if not by_row:
            return None
        if len(by_row) == 1:
            label = self.tables.ids[next(iter(by_row))]
        label = label or next(iter(by_row.values())).via
        return Meaning(label, tuple(by_row.values()))

    def _stated(self, text: str) -> Meaning | None:
        """Return the meaning of a name or trade word as it stands."""
        named = self._spelt(text) or (
            None if _TWO_NUMBERS.search(text) else self.grade_meaning(squash(text), text.strip())
        )
        word = self.tables.words.get(word_key(text)) or self._joined(text)
        if word is None:
            return named
        if word.ask:
            return self._asked(word, named)
        meaning = self.labelled(word.label, [*(named.hits if named else ()), *_hits_of(word, 99.0)])
        return _told(word, meaning) if named is None and meaning is not None else meaning

    def _joined(self, text: str) -> Word | None:
        """Return the word that is written in one elsewhere: "Alu-Kabel" and "Aluminiumkabel" are Alukabel."""
        for way in (squash(text), squash(text).replace("aluminium", "alu", 1)):
            if way.isalpha() and (key := self.tables.words_squashed.get(way)) is not None:
                return self.tables.words[key]
        return None

    def _asked(self, word: Word, named: Meaning | None) -> Meaning:
        """Return a word that has to be asked back, with everything that it can mean."""
        hits = [Hit(row, word.label, 99.0) for row in word.rows] + list(named.hits if named else ())
        return _told(word, Meaning(word.label, tuple(hits), word.ask, word.offers))

    def _plural(self, text: str) -> Meaning | None:
        """Return the meaning of words that may be plurals in one of the languages: "motori elettrici"."""
        words = [word for word in tokens(text) if word not in JOINING] or list(tokens(text))
        if not 0 < len(words) <= _MOST_PLURALS or not all(word.isalpha() for word in words):
            return None
        ways = [
            [
                one
                for one in dict.fromkeys((word, *_numbers(word, is_alone=len(words) == 1)))
                if singular_of(one) in self.tables.spoken
            ]
            for word in words
        ]
        for spelling in itertools.product(*ways):
            key = word_key(" ".join(spelling))
            word = self.tables.words.get(key)
            if word is not None and key not in self.tables.codes:
                return self._asked(word, None) if word.ask else self._of_word(word, 98.0)
        return None

    def _of_word(self, word: Word, score: float) -> Meaning | None:
        meaning = self.labelled(word.label, _hits_of(word, score))
        return None if meaning is None else _told(word, meaning)

    def _either(self, text: str) -> Meaning | None:
        """Return the meaning of a double name: "304/304L", "6061 or 6082", "2205 (S32205)"."""
        parts = [part for part in _EITHER.split(text.strip()) if part]
        if len(parts) < 2:
            return None
        meanings = [self._stated(part) or self._narrowed(part) or self.bare(part) for part in parts]
        if not all(meanings):
            return None
        hits = [hit for meaning in meanings if meaning for hit in meaning.hits]
        return self.labelled("/".join(meaning.label for meaning in meanings if meaning), hits)

    def _narrowed(self, text: str) -> Meaning | None:
        """Return the meaning of a name with a word for its kind: "360 brass", "SAE 1050 steel"."""
        words = tokens(text)[:_MOST_TOKENS]
        for word, rest in _word_and_rest(words):
            kind = self.tables.words.get(word_key(" ".join(word)))
            if kind is None or not rest:
                continue
            rows = set(kind.rows)
            if other := self.tables.words.get(word_key(" ".join(rest))):
                both = [hit for hit in _hits_of(other, 98.0) if hit.row in rows]
                if both:
                    return self.labelled(text.strip(), both)
            for squashed in ("".join(rest), *bare_variants(" ".join(rest))):
                found = self._named(squash(squashed))
                hits = [
                    Hit(name.row, name.text, 99.0 - 0.1 * name.rank) for name in found if name.row in rows
                ]
                if hits:
                    return self.labelled(text.strip(), sorted(hits, key=lambda hit: (-hit.score, hit.row)))
        return None

    def is_of_kinds(self, text: str, meaning: Meaning) -> bool:
        """Return True where a meaning is of every kind that the words name: "inox 999" is no zinc."""
        known = (self.tables.words.get(word_key(one)) for one in tokens(text))
        kinds = [set(word.rows) for word in known if word is not None and word.rows]
        return all(hit.row in rows for rows in kinds for hit in meaning.hits)

    def bare(self, text: str) -> Meaning | None:
        """Return the meaning of a name once prefixes, tempers and finishes are taken off."""
        if _TWO_NUMBERS.search(text):
            return None
        for variant in bare_variants(text):
            named = self.grade_meaning(variant, "", least=2.0)
            word = self.tables.words.get(self.tables.words_squashed.get(variant, ""))
            hits = list(named.hits) if named else []
            if word is not None:
                hits += [Hit(row, word.label, 97.0) for row in word.rows]
            if hits:
                return self.labelled(word.label if word else "", hits)
        return None


def _numbers(word: str, *, is_alone: bool) -> Iterator[str]:
    """Yield the singulars and the plural that a word may have; none is an abbreviation: "Nabe" is no NAB.

    A word that stands alone is a noun; among others it may be an adjective.
    """
    yield from (one for one in singulars(word, is_noun=is_alone) if len(one) > _LONGEST_ABBREVIATION)
    if len(word) > _LONGEST_ABBREVIATION + 2:
        yield plural(word)


def _hits_of(word: Word, score: float) -> list[Hit]:
    return [Hit(row, word.label, score - 0.01 * place) for place, row in enumerate(word.rows)]


def _told(word: Word, meaning: Meaning) -> Meaning:
    """Return the meaning of a word with what it tells beside the metal."""
    if not (word.is_usual or word.form or word.tongue):
        return meaning
    return replace(meaning, is_usual=word.is_usual, form=word.form, offers=word.offers, tongue=word.tongue)


def _word_and_rest(words: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], tuple[str, ...]]]:
    """Yield each run of words and what is left without it, long runs first."""
    for length in range(len(words) - 1, 0, -1):
        for start in range(len(words) - length + 1):
            yield words[start : start + length], words[:start] + words[start + length :]
