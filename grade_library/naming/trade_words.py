"""Words that name many grades at once: trade words, families, groups and series."""

import difflib
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from grade_library.errors import GradeDataError
from grade_library.grade import Grade
from grade_library.groups import GROUPS
from grade_library.naming.name_text import tokens

TRADE_WORDS_FILE = "trade_words.toml"
_KEYS = ("also", "grades", "families", "groups", "series", "note", "source")


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeWord:
    """One word of the trade and what it can mean."""

    word: str
    also: tuple[str, ...] = ()
    """Other spellings."""
    grades: tuple[str, ...] = ()
    """Grade ids, the usual meaning first."""
    families: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    series: tuple[str, ...] = ()
    note: str = ""
    source: str

    def members(self, ids: "GradeIds") -> tuple[str, ...]:
        """Return the ids of the grades that the word can mean: those named first, then the families'."""
        named = [grade_id for grade_id in self.grades if grade_id in ids.every]
        kinds = ((ids.by_family, self.families), (ids.by_group, self.groups), (ids.by_series, self.series))
        wide = [grade_id for table, names in kinds for name in names for grade_id in table.get(name, ())]
        return tuple(dict.fromkeys([*named, *wide]))


class GradeIds:
    """Grade ids by family, group and series."""

    def __init__(self, grades: Iterable[Grade]) -> None:
        self.every: set[str] = set()
        self.by_family: dict[str, list[str]] = {}
        self.by_group: dict[str, list[str]] = {}
        self.by_series: dict[str, list[str]] = {}
        for grade in grades:
            self.every.add(grade.grade_id)
            self.by_family.setdefault(grade.family, []).append(grade.grade_id)
            self.by_group.setdefault(grade.group, []).append(grade.grade_id)
            self.by_series.setdefault(grade.series, []).append(grade.grade_id)


def load_trade_words() -> tuple[TradeWord, ...]:
    """Return the trade words that the library ships.

    Raises:
        GradeDataError: The file is wrong; the message names word and key.
    """
    return read_trade_words((Path(__file__).parents[1] / "data" / TRADE_WORDS_FILE).read_text("utf-8"))


def read_trade_words(text: str) -> tuple[TradeWord, ...]:
    """Return the trade words of a TOML text: one table per word."""
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise GradeDataError(f"{TRADE_WORDS_FILE}: not valid TOML: {error}") from None
    return tuple(_read_word(word, table) for word, table in content.items())


def _read_word(word: str, table: Mapping[str, object]) -> TradeWord:
    place = f'{TRADE_WORDS_FILE}, word "{word}"'
    for key in table:
        if key not in _KEYS:
            near = difflib.get_close_matches(key, _KEYS, n=1, cutoff=0.5)
            raise GradeDataError(
                f'{place}: unknown key "{key}"' + (f' (nearest: "{near[0]}")' if near else "")
            )
    lists: dict[str, tuple[str, ...]] = {}
    for key in ("also", "grades", "families", "groups", "series"):
        value = table.get(key, [])
        if not isinstance(value, list) or not all(isinstance(entry, str) for entry in value):
            raise GradeDataError(f'{place}: {key} needs a list of texts, such as ["C26000"]')
        lists[key] = tuple(value)
    source = table.get("source", "")
    if not isinstance(source, str) or not source:
        raise GradeDataError(f'{place}: needs source = "source-id" (or "common-practice", "memory")')
    return TradeWord(word=word, source=source, note=str(table.get("note", "")), **lists)


def library_words(grades: Iterable[Grade]) -> Iterator[TradeWord]:
    """Yield a word for each group, family and series of the library, with the spellings people use."""
    every = list(grades)
    for group in GROUPS:
        yield TradeWord(word=group, groups=(group,), source="common-practice")
    for family in sorted({grade.family for grade in every} - set(GROUPS)):
        yield TradeWord(word=family, families=(family,), source="common-practice")
    for group, family, series in sorted({(grade.group, grade.family, grade.series) for grade in every}):
        if series not in (group, family):
            members = tuple(g.grade_id for g in every if (g.group, g.series) == (group, series))
            yield TradeWord(
                word=series_label(series),
                also=series_spellings(series),
                grades=members,
                source="common-practice",
            )


def series_label(series: str) -> str:
    """Return how a series is shown: "6xxx", but "300 series"."""
    return f"{series} series" if series.isdigit() else series


def series_spellings(series: str) -> tuple[str, ...]:
    """Return other ways of writing a series.

    >>> series_spellings("6xxx")
    ('6xxx series', '6000 series', '6000s')
    >>> series_spellings("300")
    ('series 300', '300s')
    """
    if found := re.fullmatch(r"(\d)(x{2,3})", series):
        number = found[1] + "0" * len(found[2])
        wrought = (f"{number} series", f"{number}s") if len(found[2]) == 3 else (f"{series}.x",)
        return (f"{series} series", *wrought)
    if series.isdigit():
        return (f"series {series}", f"{series}s")
    return (f"{series} series",)


def word_key(text: str) -> tuple[str, ...]:
    """Return what two spellings of one word have in common; words without figures may stand in any order.

    >>> word_key("aluminium wrought") == word_key("wrought aluminum")
    True
    >>> word_key("70-30 Brasses") == word_key("70/30 brass")
    True
    """
    words = tuple(_singular(word) for word in tokens(text))
    return tuple(sorted(words)) if all(word.isalpha() for word in words) else words


_SPELLINGS = {
    "aluminum": "aluminium",
    "alu": "aluminium",
    "ali": "aluminium",
    "ally": "aluminium",
    "gray": "grey",
    "stainles": "stainless",
    "inox": "stainless",
    "mag": "magnesium",
    "moly": "molybdenum",
}


def _singular(word: str) -> str:
    if len(word) > 4 and word.endswith("sses"):
        word = word[:-2]
    elif len(word) > 3 and word.isalpha() and word.endswith("s") and not word.endswith("ss"):
        word = word[:-1]
    return _SPELLINGS.get(word, word)
