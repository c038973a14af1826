"""Materials, trade words and all spellings, and the form in which they are kept for the next start."""

import functools
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from typing import Any, TypeAlias

from grade_library.grade import Grade, Limit
from grade_library.material import Material
from grade_library.naming.grade_names import names_of
from grade_library.naming.trade_words import TradeWord
from grade_library.naming.word_table import Word, keys_of, word_table

_MATERIAL_FIELDS = tuple(field.name for field in fields(Material))
_WORD_FIELDS = tuple(field.name for field in fields(TradeWord))
_PARTS = ("materials", "words", "names", "material_keys", "word_keys", "compiled")

Compiled: TypeAlias = tuple[Sequence[Sequence[Any]], Sequence[Sequence[Any]], Mapping[str, int]]
"""What words say, each once; label of each word and the number of what it says; key -> number of its word,
sorted by key."""


class Dictionary:
    """What is named beside grades, and how everything is spelt.

    Working out the spellings takes longer than everything else of a start, so they are kept: lines of JSON,
    each read when it is first asked for, and records are made of their rows then.
    """

    def __init__(self, texts: Sequence[bytes] = ()) -> None:
        self.texts = tuple(texts)
        """A line of JSON for each part, in the order of `_PARTS`; empty where nothing is named."""

    def _part(self, name: str) -> Any:
        return json.loads(self.texts[_PARTS.index(name)]) if self.texts else {}

    @functools.cached_property
    def materials(self) -> tuple[Material, ...]:
        """What is named and never matched."""
        return tuple(
            Material(**dict(zip(_MATERIAL_FIELDS, map(_rich, row), strict=True)))
            for row in self._part("materials")
        )

    @functools.cached_property
    def words(self) -> tuple[TradeWord, ...]:
        """Words that name several grades or materials, or have to be asked back."""
        return tuple(
            TradeWord(**dict(zip(_WORD_FIELDS, map(_rich, row), strict=True))) for row in self._part("words")
        )

    @functools.cached_property
    def _names(self) -> Mapping[str, Sequence[Sequence[Any]]]:
        return dict(self._part("names"))

    @functools.cached_property
    def _material_by_id(self) -> dict[str, Material]:
        return {material.material_id: material for material in self.materials}

    def material(self, material_id: str) -> Material | None:
        """Return the material of that id, None where there is none."""
        return self._material_by_id.get(material_id)

    def names_of(self, grade: Grade) -> Sequence[Sequence[Any]]:
        """Return the names of a grade as rows of `NameRow`; those of the yard's own are worked out anew."""
        kept = self._names.get(grade.grade_id) if grade.owner == "library" else None
        return list(names_of(grade)) if kept is None else kept

    def word_table(
        self, grades: Sequence[Grade], words: Iterable[TradeWord] | None = None
    ) -> Mapping[str, Word]:
        """Return what every word can mean: as kept for the shipped grades, worked out anew for others.

        Args:
            grades: In the order of their rows.
            words: Trade words instead of the library's own.
        """
        are_kept = all(grade.owner == "library" for grade in grades)
        if words is not None or not are_kept or [*self._names] != [grade.grade_id for grade in grades]:
            own = self.words if words is None else tuple(words)
            keys = self._part("word_keys") if words is None else [keys_of(word.spellings) for word in own]
            return word_table(grades, self.materials, own, keys, self._part("material_keys"))
        said, words_said, row_of = self._part("compiled") or ((), (), {})
        senses = [(tuple(rows), ask, tuple(offers), *more) for rows, ask, offers, *more in said]
        known = [Word(label, *senses[sense]) for label, sense in words_said]
        return dict(zip(row_of, map(known.__getitem__, row_of.values()), strict=True))

    @classmethod
    def of(
        cls, grades: Iterable[Grade], materials: Sequence[Material], words: Sequence[TradeWord]
    ) -> "Dictionary":
        """Return the dictionary of records."""
        every = sorted(grades, key=lambda grade: grade.grade_id)
        word_keys = [keys_of(word.spellings) for word in words]
        material_keys = [keys_of(one.called) for one in materials]
        parts = {
            "materials": [[_plain(getattr(one, name)) for name in _MATERIAL_FIELDS] for one in materials],
            "words": [[_plain(getattr(word, name)) for name in _WORD_FIELDS] for word in words],
            "names": {grade.grade_id: list(names_of(grade)) for grade in every},
            "material_keys": material_keys,
            "word_keys": word_keys,
            "compiled": _compile(word_table(every, materials, words, word_keys, material_keys)),
        }
        return cls([in_a_line(parts[name]) for name in _PARTS])


def in_a_line(value: Any) -> bytes:
    """Return a value as one line of JSON, as short as it can be."""
    return json.dumps(value, separators=(",", ":"), ensure_ascii=False).encode()


def _compile(table: Mapping[str, Word]) -> Compiled:
    senses = {word[1:]: None for word in table.values()}
    number_of = {sense: number for number, sense in enumerate(senses)}
    words = list(dict.fromkeys(table.values()))
    row_of = {word: row for row, word in enumerate(words)}
    return (
        [list(sense) for sense in senses],
        [(word.label, number_of[word[1:]]) for word in words],
        {key: row_of[table[key]] for key in sorted(table)},
    )


def _plain(value: Any) -> Any:
    """Return the shares of a material as pairs of numbers, everything else as it is."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    return {"low": value.low, "high": value.high} if isinstance(value, Limit) else value


def _rich(value: Any) -> Any:
    """Return the value of a field as the record holds it: lists were tuples, and pairs of numbers limits."""
    if isinstance(value, dict):
        return {key: Limit(**one) if isinstance(one, dict) else tuple(one) for key, one in value.items()}
    return tuple(value) if isinstance(value, list) else value
