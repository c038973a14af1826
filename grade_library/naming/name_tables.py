"""Every name and word of a library, by the form in which it is looked up."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from grade_library.library import GradeLibrary
from grade_library.loading.dictionary import KeyRow
from grade_library.naming.grade_names import GradeName, NameRank
from grade_library.naming.name_text import squash
from grade_library.naming.trade_words import JOINING, GradeIds, TradeWord, library_words, spelt_keys


@dataclass(frozen=True, slots=True)
class Hit:
    """One grade or material that a text names."""

    row: int
    """Row among the answers of the library: its grades, then its materials."""
    via: str
    """The name by which."""
    score: float
    """100 for a stated name, a little less for a word, a short form, or after prefixes were taken off."""


@dataclass(frozen=True, slots=True)
class Word:
    """A trade word with the rows of the answers it can mean."""

    label: str
    rows: tuple[int, ...]
    ask: str = ""
    offers: tuple[str, ...] = ()


def short_first(name: str) -> tuple[int, str]:
    """Return the key that sorts names by length, then by letter."""
    return len(name), name


class NameTables:
    """Names of grades by their squashed form, trade words and names of materials by their key."""

    def __init__(self, library: GradeLibrary, trade_words: Iterable[TradeWord] | None = None) -> None:
        self.names: dict[str, list[GradeName]] = {}
        """Squashed name -> the grades it names."""
        self.words: dict[tuple[str, ...], Word] = {}
        """Key of a trade word -> what it can mean."""
        self.first_material = len(library.grades)
        """Rows from here on are materials."""
        self.ids = [
            *(grade.grade_id for grade in library.grades),
            *(material.material_id for material in library.dictionary.materials),
        ]
        """Id of the answer in each row: grades, then materials."""
        kept = library.dictionary
        for row, grade in enumerate(library.grades):
            for text, squashed, rank in kept.names_of(grade):
                name = GradeName(text=text, squashed=squashed, row=row, rank=NameRank(rank))
                self.names.setdefault(squashed, []).append(name)
        if trade_words is None:
            self._add_words(library, library.dictionary.words, kept.word_keys)
        self._spell_words(library, [*(trade_words or ()), *library_words(library.grades)])
        self._add_materials(kept.material_keys)
        self.spoken = {word for key in self.words for word in key} | JOINING
        """Every word that stands in a name."""
        self.words_squashed = {"".join(key): key for key in sorted(self.words) if "".join(key).isalpha()}
        """Trade words without figures, squashed -> key."""
        self.squashed = sorted(self.names, key=short_first)
        """Squashed names, the shortest first."""
        codes = {squash(one.material_id) for one in library.dictionary.materials if one.what}
        self.guessable = [*self.squashed, *(name for name in self.words_squashed if name not in codes)]
        """Everything that a slip can have been meant for, squashed; the code words of the circular are
        everyday words themselves ("Drive" is no slip for Drove)."""

    def _add_words(
        self, library: GradeLibrary, words: Iterable[TradeWord], word_keys: Iterable[KeyRow]
    ) -> None:
        ids = GradeIds(library.grades)
        row_of = {answer_id: row for row, answer_id in enumerate(self.ids)}
        for word, keys in zip(words, word_keys, strict=True):
            members = [*word.members(ids), *(one for one in word.materials if one in row_of)]
            if members or word.ask:
                rows = tuple(map(row_of.__getitem__, members))
                known = Word(word.word, rows, word.ask, word.offers)
                for key, _ in keys:
                    self.words.setdefault(tuple(key.split(" ")), known)

    def _spell_words(self, library: GradeLibrary, words: Sequence[TradeWord]) -> None:
        """Add words whose spellings nobody kept: groups, families and series, the yard's own among them."""
        keys = [[(" ".join(k), way) for way in word.spellings for k in spelt_keys(way)] for word in words]
        self._add_words(library, words, keys)

    def _add_materials(self, material_keys: Iterable[KeyRow]) -> None:
        """Add the names of materials; a name of two materials can mean either, a trade word keeps its own."""
        own: dict[str, list[int]] = {}
        labels: dict[str, str] = {}
        for row, keys in enumerate(material_keys, self.first_material):
            for key, name in keys:
                labels.setdefault(key, name)
                own.setdefault(key, []).append(row)
        for key, rows in own.items():
            self.words.setdefault(tuple(key.split(" ")), Word(labels[key], tuple(rows)))

    def hits_of(self, name: str, score: float) -> list[Hit]:
        """Return the answers of a squashed name or word."""
        key = self.words_squashed.get(name)
        if key is not None:
            return [Hit(row, self.words[key].label, score) for row in self.words[key].rows]
        return [Hit(found.row, found.text, score - 0.1 * found.rank) for found in self.names[name]]
