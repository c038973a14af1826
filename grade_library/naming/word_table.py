"""What every trade word, family, series and name of a material can mean, by the key of its spellings."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from grade_library.grade import Grade
from grade_library.material import Material
from grade_library.naming.trade_words import GradeIds, TradeWord, library_words, members_of, spelt_keys

KeyRow: TypeAlias = Sequence[tuple[str, str]]
"""Keys of one word or material, each with the spelling it comes from."""


class Word(NamedTuple):
    """A trade word with the rows of the answers it can mean; a tuple, since a start makes hundreds."""

    label: str
    rows: tuple[int, ...]
    ask: str = ""
    offers: tuple[str, ...] = ()
    is_usual: bool = False
    form: str = ""
    tongue: str = ""


def keys_of(spellings: Iterable[str]) -> list[tuple[str, str]]:
    """Return the keys of one word or material, each with the first spelling that has it."""
    keys = {key: spelling for spelling in reversed([*spellings]) for key in spelt_keys(spelling)}
    return [(key, spelling) for key, spelling in keys.items()]


def word_table(
    grades: Sequence[Grade],
    materials: Sequence[Material],
    words: Sequence[TradeWord],
    word_keys: Sequence[KeyRow],
    material_keys: Sequence[KeyRow],
) -> dict[str, Word]:
    """Return key -> word; rows count the grades, then the materials.

    What is said first keeps its key: trade words, then groups, families and series, then materials, then
    things by their usual metal. A thing is called as it was said: one entry holds all things of a metal.

    Args:
        grades: In the order of their rows, the yard's own among them.
        materials: In the order of theirs, which goes on behind the grades.
        words: Trade words.
        word_keys: Keys of each of the words.
        material_keys: Keys of each of the materials.
    """
    ids = GradeIds(grades)
    answers = [*(grade.grade_id for grade in grades), *(material.material_id for material in materials)]
    row_of = {answer_id: row for row, answer_id in enumerate(answers)}
    kinds = list(library_words(grades))
    spelt = [*zip(words, word_keys, strict=True), *((kind, keys_of(kind.spellings)) for kind in kinds)]
    table: dict[str, Word] = {}
    for is_usual in (False, True):
        for word, keys in (one for one in spelt if one[0].usual is is_usual):
            members = [*members_of(word, ids), *(one for one in word.materials if one in row_of)]
            if members or word.ask:
                rows = tuple(map(row_of.__getitem__, members))
                known = Word(word.word, rows, word.ask, word.offers, word.usual, word.form, word.tongue)
                for key, spelling in keys:
                    table.setdefault(key, known._replace(label=spelling) if is_usual else known)
        for named_key, named in _materials(materials, material_keys, len(grades)).items():
            table.setdefault(named_key, named)
    return table


def _materials(
    materials: Sequence[Material], material_keys: Sequence[KeyRow], first_row: int
) -> Mapping[str, Word]:
    """Return the names of materials; a name of two materials can mean either."""
    rows: dict[str, list[int]] = {}
    labels: dict[str, str] = {}
    tongues = {name: language for one in materials for language, names in one.names.items() for name in names}
    for row, keys in enumerate(material_keys, first_row):
        for key, name in keys:
            labels.setdefault(key, name)
            rows.setdefault(key, []).append(row)
    return {
        key: Word(labels[key], tuple(found), tongue=tongues.get(labels[key], ""))
        for key, found in rows.items()
    }
