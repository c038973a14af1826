"""Words that name many grades at once: trade words, families, groups and series."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from grade_library.errors import GradeDataError
from grade_library.facts import Form
from grade_library.grade import GROUPS, Grade
from grade_library.loading.sources import nearest, tables_of
from grade_library.naming.name_text import UMLAUTS, tokens

TRADE_WORDS_FILE = "trade_words.toml"
THINGS_FILE = "things.toml"
LANGUAGES = ("en", "de", "fr", "es", "it")
"""Languages of the words; `also` holds the English spellings."""
_METALS = "metals"
NOUN_FIRST = LANGUAGES[2:]
"""Languages in which what is said of a thing stands behind it: "robinet de jardin", but "garden tap"."""
_IRON = frozenset({"steel", "cast iron"})
"""What is of either is iron: there is nothing to ask."""
_LISTS = ("also", *LANGUAGES[1:], "grades", "families", "groups", "series", "materials", "offers")
_KEYS = (*_LISTS, "usual", "tongue", "form", "ask", "note", "source")


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeWord:
    """One word of the trade and what it can mean."""

    word: str
    """What it is called; empty for all the things of a metal, which have their names alone."""
    also: tuple[str, ...] = ()
    """Other spellings, English as a rule."""
    abroad: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Language (de, fr, es, it) -> what it is called there."""
    grades: tuple[str, ...] = ()
    """Grade ids, the usual meaning first."""
    families: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    series: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    """Material ids, the usual meaning first."""
    ask: str = ""
    """What has to be asked back, where the word names nothing by itself: "aluminium or tinplate?"."""
    offers: tuple[str, ...] = ()
    """Names that answer the question, the likelier first."""
    usual: bool = False
    """It names a thing: what it means is the metal that the thing usually is, or what is asked where none is
    said."""
    tongue: str = ""
    """Language of all its names; empty where they are of several."""
    form: str = ""
    """Form that it tells, a value of `Form`; empty as a rule."""
    note: str = ""
    source: str

    @property
    def spellings(self) -> tuple[str, ...]:
        """Every way to say it, in all languages."""
        every = (self.word, *self.also, *(name for names in self.abroad.values() for name in names))
        return tuple(name for name in every if name)


class NamesGrades(Protocol):
    """What names grades one by one, and whole families, groups and series."""

    @property
    def grades(self) -> tuple[str, ...]: ...  # noqa: D102 - as in TradeWord and Material
    @property
    def families(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def groups(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def series(self) -> tuple[str, ...]: ...  # noqa: D102


def members_of(word: NamesGrades, ids: "GradeIds") -> tuple[str, ...]:
    """Return the ids of the grades that are named: those named one by one first, then the families'."""
    named = [grade_id for grade_id in word.grades if grade_id in ids.every]
    kinds = ((ids.by_family, word.families), (ids.by_group, word.groups), (ids.by_series, word.series))
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


def read_trade_words(text: str) -> tuple[TradeWord, ...]:
    """Return the trade words of a TOML text: one table per word."""
    return tuple(
        read_word(word, table, f'{TRADE_WORDS_FILE}, word "{word}"')
        for word, table in tables_of(TRADE_WORDS_FILE, text).items()
    )


def read_word(word: str, table: Mapping[str, object], place: str) -> TradeWord:
    """Return the word of a table of a file; `place` says in a message where it stands."""
    for key in table:
        if key not in _KEYS:
            raise GradeDataError(f'{place}: unknown key "{key}"{nearest(key, _KEYS)}')
    lists: dict[str, tuple[str, ...]] = {}
    for key in _LISTS:
        value = table.get(key, [])
        if not isinstance(value, list) or not all(isinstance(entry, str) for entry in value):
            raise GradeDataError(f'{place}: {key} needs a list of texts, such as ["C26000"]')
        lists[key] = tuple(value)
    source = table.get("source", "")
    if not isinstance(source, str) or not source:
        raise GradeDataError(f'{place}: needs source = "source-id" (or "common-practice", "memory")')
    usual, form = table.get("usual", False), table.get("form", "")
    if not isinstance(usual, bool):
        raise GradeDataError(f"{place}: usual is true or false")
    if form not in ("", *Form):
        raise GradeDataError(f"{place}: form is one of {', '.join(Form)}")
    abroad = {language: lists.pop(language) for language in LANGUAGES[1:]}
    return TradeWord(
        word=word,
        source=source,
        ask=str(table.get("ask", "")),
        note=str(table.get("note", "")),
        usual=usual,
        tongue=str(table.get("tongue", "")),
        form=str(form),
        abroad={language: names for language, names in abroad.items() if names},
        **lists,
    )


def read_things(text: str) -> tuple[TradeWord, ...]:
    """Return the things of a TOML text, one word for each language of a table.

    A thing that is of one metal as a rule means that metal; where there are several it is asked which.

    Raises:
        GradeDataError: The text is no TOML, or a table lacks its metals or names nothing.
    """
    return tuple(
        word for title, table in tables_of(THINGS_FILE, text).items() for word in _things(title, table)
    )


def _things(title: str, table: Mapping[str, object]) -> Iterator[TradeWord]:
    place = f'{THINGS_FILE}, "{title}"'
    metals = table.get(_METALS)
    if not isinstance(metals, list) or not metals or not all(isinstance(one, str) for one in metals):
        raise GradeDataError(f'{place}: metals needs a list of groups or families, such as ["steel"]')
    is_asked = len(metals) > 1 and not _IRON.issuperset(metals)
    kind = "groups" if metals[0] in GROUPS else "families"
    said: dict[str, object] = {"ask": f"{either(metals)}?"} if is_asked else {kind: metals}
    said |= {"offers": metals, "usual": True}
    others = {key: value for key, value in table.items() if key not in (*LANGUAGES, _METALS)}
    for language in LANGUAGES:
        if language in table:
            names = {"also" if language == LANGUAGES[0] else language: table[language]}
            # The title is no name of anything: what a thing is called stands in the lists.
            yield read_word("", {**others, **names, **said, "tongue": language}, place)


def either(ways: list[str]) -> str:
    """Return what is to be chosen from in words.

    >>> either(["steel", "brass", "zinc"])
    'steel, brass or zinc'
    """
    return " or ".join(filter(None, (", ".join(ways[:-1]), ways[-1])))


def library_words(grades: Iterable[Grade]) -> Iterator[TradeWord]:
    """Yield a word for each group, family and series of the library, with the spellings people use."""
    every = list(grades)
    for group in GROUPS:
        yield TradeWord(word=group, groups=(group,), source="common-practice")
    for family in sorted({grade.family for grade in every} - set(GROUPS)):
        yield TradeWord(word=family, families=(family,), source="common-practice")
    by_series: dict[tuple[str, str], list[str]] = {}
    for grade in every:
        by_series.setdefault((grade.group, grade.series), []).append(grade.grade_id)
    for group, family, series in sorted({(grade.group, grade.family, grade.series) for grade in every}):
        if series not in (group, family):
            yield TradeWord(
                word=series_label(series),
                also=series_spellings(series),
                grades=tuple(by_series[group, series]),
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


def word_key(text: str) -> str:
    """Return what two spellings of one word have in common, its words joined by blanks; words without figures
    may stand in any order.

    >>> word_key("aluminium wrought") == word_key("wrought aluminum")
    True
    >>> word_key("70-30 Brasses") == word_key("70/30 brass")
    True
    """
    spoken = tokens(text)
    # Alone "mag" and "moly" are a question: magnesium or magnetic, molybdenum or steel with it.
    words = spoken if spoken in (("mag",), ("moly",)) else tuple(singular_of(word) for word in spoken)
    if not all(word.isalpha() for word in words):
        return " ".join(words)
    telling = tuple(word for word in words if word not in JOINING)
    return " ".join(sorted(telling if len(telling) > 1 else words))


def spelt_keys(text: str) -> tuple[str, ...]:
    """Return the keys of a word's spellings: an umlaut is also typed with an e behind the letter.

    >>> spelt_keys("Späne")
    ('spane', 'spaene')
    """
    written_out = text.casefold().translate(UMLAUTS)
    keys = (word_key(text), word_key(written_out))
    return keys[:1] if keys[0] == keys[1] else keys


JOINING = frozenset(
    {
        *("of", "the", "and", "with", "de", "del", "des", "du", "d", "l"),
        *("di", "da", "dal", "dei", "della", "delle", "dell", "all", "en", "el"),
        *("le", "les", "et", "avec", "con", "mit", "von", "aus", "und", "au"),
        *("aux", "y"),
    }
)
"""Words that only join: "tubo de cobre" is "tubo cobre"."""
_ONLY_PLURAL = frozenset({"reds", "yellows", "tins", "leads", "cadenas"})
"""Names of metals whose singular is a colour; what is no plural of tin, lead, or a Spanish chain."""
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


def singular_of(word: str) -> str:
    """Return a word as keys hold it: English plurals taken off, spellings made one."""
    if len(word) > 4 and word.endswith("sses"):
        word = word[:-2]
    elif len(word) > 3 and word.isalpha() and word.endswith("s") and not word.endswith("ss"):
        if word in _ONLY_PLURAL:
            return word
        word = word[:-1]
    return _SPELLINGS.get(word, word)
