"""Every name and word of a library, by the form in which it is looked up."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass

from grade_library.library import GradeLibrary
from grade_library.naming.grade_names import GradeName
from grade_library.naming.name_text import squash
from grade_library.naming.trade_words import JOINING
from grade_library.naming.word_table import Word


@dataclass(frozen=True, slots=True)
class Hit:
    """One grade or material that a text names."""

    row: int
    """Row among the answers of the library: its grades, then its materials."""
    via: str
    """The name by which."""
    score: float
    """100 for a stated name, a little less for a word, a short form, or after prefixes were taken off."""


def short_first(name: str) -> tuple[int, str]:
    """Return the key that sorts names by length, then by letter."""
    return len(name), name


class NameTables:
    """Names of grades by their squashed form, trade words and names of materials by their key."""

    def __init__(self, library: GradeLibrary) -> None:
        self.names: dict[str, list[GradeName]] = {}
        """Squashed name -> the grades it names."""
        self.words: Mapping[str, Word] = library.dictionary.word_table(library.grades)
        """Key of a trade word -> what it can mean."""
        self.first_material = len(library.grades)
        """Rows from here on are materials."""
        self.ids = [
            *(grade.grade_id for grade in library.grades),
            *(material.material_id for material in library.dictionary.materials),
        ]
        """Id of the answer in each row: grades, then materials."""
        for row, grade in enumerate(library.grades):
            for text, squashed, rank in library.dictionary.names_of(grade):
                self.names.setdefault(squashed, []).append(GradeName(text, squashed, row, rank))
        self.words_squashed = {
            squashed: key for key in sorted(self.words) if (squashed := key.replace(" ", "")).isalpha()
        }
        """Trade words without figures, squashed -> key."""
        self.codes = {squash(one.material_id) for one in library.dictionary.materials if one.what}
        """Code words of the circular, squashed: everyday words, so no slip and no plural means them."""

    # What only a plural or a slip asks for is made when it first does: a start makes none of it.

    @functools.cached_property
    def spoken(self) -> frozenset[str]:
        """Every word that stands in a name."""
        return frozenset(word for key in self.words for word in key.split(" ")) | JOINING

    @functools.cached_property
    def squashed(self) -> list[str]:
        """Squashed names, the shortest first."""
        return sorted(self.names, key=short_first)

    @functools.cached_property
    def slippable(self) -> list[str]:
        """Squashed words that a slip can have been meant for: no things, and no code words, everyday words
        themselves ("Drive" is no slip for Drove)."""
        return [
            name
            for name, key in self.words_squashed.items()
            if name not in self.codes and not self.words[key].is_usual
        ]

    @functools.cached_property
    def guessable(self) -> list[str]:
        """Everything that a slip can have been meant for, squashed: names and words."""
        return [*self.squashed, *self.slippable]

    def hits_of(self, name: str, score: float) -> list[Hit]:
        """Return the answers of a squashed name or word."""
        key = self.words_squashed.get(name)
        if key is not None:
            return [Hit(row, self.words[key].label, score) for row in self.words[key].rows]
        return [Hit(found.row, found.text, score - 0.1 * found.rank) for found in self.names[name]]
