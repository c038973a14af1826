"""Which grades and materials an entry of `accepts` or `refuses` means: group, family, scrap entry, name."""

import functools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from rapidfuzz import fuzz, process

from console.ground.errors import BaywrightError
from console.yard.file.fields import Fields
from console.yard.refused_elements import cannot_keep, holds
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.material import Material

KINDS = ("group", "family", "series", "scrap", "grade", "material")
"""Looked up in this order; "series: 300" looks only among the series."""
EVERYTHING = "everything"
"""Selector for all grades and materials."""
WIDE = frozenset({"group", "family", "series", EVERYTHING})
"""What names metal as a whole, its unlisted alloys among it."""


class SelectorError(BaywrightError, ValueError):
    """A line of `accepts` or `refuses` names nothing in the library; the message names the nearest."""


def _spoken(text: str) -> str:
    """Return the form that is compared: case-folded, single blanks."""
    return " ".join(text.casefold().split())


def _series_spellings(series: str) -> Iterator[str]:
    """Yield "6xxx", "6xxx series", "6000 series" or "300", "300 series"."""
    yield series
    yield f"{series} series"
    yield f"series {series}"
    if series[:1].isdigit() and series[1:] and set(series[1:]) == {"x"}:
        yield f"{series.replace('x', '0')} series"


def _wide_spellings(group: str, family: str, series: str) -> Iterator[tuple[str, str]]:
    """Yield every (kind, text) that selects all grades of a series."""
    yield "group", group
    yield "family", family
    for spelling in _series_spellings(series):
        yield "series", spelling
        yield "series", f"{group} {spelling}"


def _own_spellings(grade: Grade) -> Iterator[tuple[str, str]]:
    """Yield every (kind, text) that selects this grade by its names and scrap entries."""
    for entry in grade.scrap:
        yield "scrap", entry
    for name in (grade.grade_id, grade.uns, *grade.en, *grade.names):
        if name:
            yield "grade", name


def _material_spellings(material: Material) -> Iterator[tuple[str, str]]:
    """Yield every (kind, text) that selects a material: its names, what it is sold with, the published
    entries, and the group of grades whose metal it is.

    An entry of the circular that takes it is sold as it, so a bay for cans takes what somebody calls
    "Taldon".
    """
    for entry in material.entries:
        yield "scrap", entry
        yield "material", entry
    yield "material", material.group
    yield "material", material.material_id
    if material.sold_with:
        yield "group", material.sold_with
    for names in material.names.values():
        for name in names:
            yield "material", name


def _selected(library: GradeLibrary) -> Iterator[tuple[str, str, list[str]]]:
    """Yield every (kind, text) with the grades that it selects; a text may come more than once."""
    by_series: dict[tuple[str, str, str], list[str]] = {}
    for grade in library.grades:
        by_series.setdefault((grade.group, grade.family, grade.series), []).append(grade.grade_id)
        for kind, text in _own_spellings(grade):
            yield kind, text, [grade.grade_id]
    for material in library.dictionary.materials:
        for kind, text in _material_spellings(material):
            yield kind, text, [material.material_id]
    # Spelled once for a series, not once for a grade: that keeps the start of the program short.
    for series, ids in by_series.items():
        for kind, text in _wide_spellings(*series):
            yield kind, text, ids


@dataclass(frozen=True, slots=True)
class Selectors:
    """Everything that can stand in `accepts` and `refuses` for one library."""

    ids_by_kind: dict[str, dict[str, frozenset[str]]]
    """Kind -> what is compared -> grade ids."""
    shown: dict[str, str]
    """What is compared -> as the library writes it."""
    every_id: frozenset[str]
    grades: tuple[Grade, ...] = ()
    """Grades, and materials in the form of answers."""
    materials: frozenset[str] = frozenset()
    """Ids of the materials."""
    made_of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Material id -> the grades of which it is made."""
    ids_of_kind: Mapping[tuple[str, str, str], frozenset[str]] = field(default_factory=dict)
    """Group, family and series -> all that belongs to the kind."""

    @classmethod
    @functools.lru_cache(maxsize=2)  # the shipped library's, and that of the yard with its own grades
    def of(cls, library: GradeLibrary) -> "Selectors":
        """Return the selectors of a library."""
        found: dict[str, dict[str, set[str]]] = {kind: {} for kind in KINDS}
        shown: dict[str, str] = {}
        for kind, text, ids in _selected(library):
            spoken = _spoken(text)
            found[kind].setdefault(spoken, set()).update(ids)
            shown.setdefault(spoken, text)
        of_kind: dict[tuple[str, str, str], set[str]] = {}
        answers = (*library.grades, *(material.as_answer() for material in library.dictionary.materials))
        for grade in answers:
            of_kind.setdefault((grade.group, grade.family, grade.series), set()).add(grade.grade_id)
        return cls(
            ids_by_kind={
                kind: {text: frozenset(ids) for text, ids in texts.items()} for kind, texts in found.items()
            },
            shown=shown,
            every_id=frozenset(grade.grade_id for grade in answers),
            grades=answers,
            materials=frozenset(material.material_id for material in library.dictionary.materials),
            made_of={one: ids for one, ids in library.made_of.items() if ids},
            ids_of_kind={kind: frozenset(ids) for kind, ids in of_kind.items()},
        )

    def grade_ids(self, selector: str) -> frozenset[str]:
        """Return the grades that one selector means; never empty.

        Args:
            selector: "brass", "6xxx", "300 series", "Sabot", "6063", "series: 300", "everything".

        Raises:
            SelectorError: It means nothing; the message names what is near.
        """
        return self._named(selector)[1]

    def kinds(self, selectors: Iterable[str]) -> frozenset[tuple[str, str, str]]:
        """Return group, family and series of every kind of metal that the selectors mean as a whole.

        A selector that names single grades, or a published scrap entry, means no kind.

        Raises:
            SelectorError: One of them means nothing.
        """
        wide = [ids for kind, ids in map(self._named, selectors) if kind in WIDE]
        ids = frozenset().union(*wide)
        return frozenset(kind for kind, members in self.ids_of_kind.items() if members <= ids)

    def _named(self, selector: str) -> tuple[str, frozenset[str]]:
        kind, colon, rest = selector.partition(":")
        kinds: tuple[str, ...] = KINDS
        text = _spoken(selector)
        if colon and kind.strip().casefold() in KINDS:
            kinds, text = (kind.strip().casefold(),), _spoken(rest)
        if text == EVERYTHING:
            return EVERYTHING, self.every_id
        for kind in kinds:
            ids = self.ids_by_kind[kind].get(text)
            if ids:
                return kind, ids
        raise SelectorError(f'"{selector}" names no {", ".join(kinds)} of the library{self._nearest(text)}')

    def kind_named(self, word: str) -> str:
        """Return what kind of thing a word names, such as "grade"; empty where it names nothing."""
        return next((kind for kind, known in self.ids_by_kind.items() if word.casefold() in known), "")

    def union(self, selectors: Iterable[str]) -> frozenset[str]:
        """Return what any of the selectors means, and the materials that are made of nothing else.

        Raises:
            SelectorError: One of them means nothing.
        """
        ids: frozenset[str] = frozenset().union(*(self.grade_ids(selector) for selector in selectors))
        return ids.union(one for one, grades in self.made_of.items() if ids.issuperset(grades))

    def touching(self, refused: frozenset[str], named: frozenset[str]) -> frozenset[str]:
        """Return what is refused with some grades: these, and the materials that may be made of one of them.

        Args:
            refused: Grades and materials that are refused.
            named: Materials that the bay accepts by their very name: they go only with all of their grades.
        """
        return refused.union(
            one
            for one, grades in self.made_of.items()
            if (refused.issuperset(grades) if one in named else not refused.isdisjoint(grades))
        )

    def by_name(self, selectors: Iterable[str]) -> frozenset[str]:
        """Return the materials that are named one by one, by a name or a published entry."""
        spoken = {_spoken(selector.partition(":")[2] or selector) for selector in selectors}
        return frozenset().union(
            *(
                self.ids_by_kind[kind].get(text, frozenset())
                for kind in ("scrap", "material")
                for text in spoken
            )
        )

    def holding(self, symbol: str) -> frozenset[str]:
        """Return the grades that may hold more of an element than counts as none."""
        return frozenset(grade.grade_id for grade in self.grades if holds(grade, symbol))

    def bound_that_bars_all(self, grade_ids: frozenset[str], most: Mapping[str, float]) -> str:
        """Return the first bound that none of the grades can keep, such as "Cu <= 0.4"; empty where none."""
        # A material of clean metal states no limits of its own: its grades speak for it.
        grades = [g for g in self.grades if g.grade_id in grade_ids and g.grade_id not in self.made_of]
        for symbol, bound in most.items():
            if grades and all(cannot_keep(grade, symbol, bound) for grade in grades):
                return f"{symbol} <= {bound:g}"
        return ""

    def _nearest(self, text: str) -> str:
        found = process.extract(text, list(self.shown), scorer=fuzz.ratio, limit=3, score_cutoff=60.0)
        return "; near it: " + ", ".join(f'"{self.shown[near]}"' for near, _, _ in found) if found else ""


def named_in(fields: Fields, key: str, selectors: Selectors) -> frozenset[str]:
    """Return the grades and materials that a list of yard.toml means.

    Raises:
        YardFileError: One of its entries means nothing; the message names what is near.
    """
    try:
        return selectors.union(fields.texts(key))
    except SelectorError as error:
        raise fields.wrong(key, str(error)) from error
