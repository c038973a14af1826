"""The grade library: every grade, and its limits as arrays for the arithmetic."""

from __future__ import annotations

import copy
import functools
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeAlias, TypeVar

import numpy as np

from grade_library.elements import ELEMENTS
from grade_library.errors import GradeDataError
from grade_library.grade import Grade, Limit
from grade_library.loading import library_cache
from grade_library.loading.dictionary import Dictionary
from grade_library.loading.sources import BUILT_IN, Source, read_sources

if TYPE_CHECKING:
    from numpy.typing import NDArray

    FloatArray: TypeAlias = NDArray[np.float64]
    _Kind = TypeVar("_Kind", bound=np.generic)

DATA_FOLDER = Path(__file__).parent / "data"
SOURCES_FILE = "sources.toml"
MOST_FAULTS_SHOWN = 40


class GradeLibrary:
    """All grades in a fixed order (by grade id), and their limits as arrays that share the order."""

    def __init__(
        self,
        grades: Iterable[Grade],
        sources: Mapping[str, Source],
        clashes: Iterable[str] = (),
        dictionary: Dictionary | None = None,
    ) -> None:
        self.grades: tuple[Grade, ...] = tuple(sorted(grades, key=lambda grade: grade.grade_id))
        self.dictionary = dictionary or Dictionary()
        """What is named beside grades: materials, which are never matched, and words."""
        self.sources: Mapping[str, Source] = MappingProxyType(dict(sources))
        self.clashes: tuple[str, ...] = tuple(clashes)
        """Where the yard's own grades and the shipped ones disagree, in words."""
        self.residual_factors: Mapping[tuple[str, str], float] = MappingProxyType({})
        """Grade id and element that the grade does not name -> how many times the usual residual its melts
        hold where the yard buys them; 1 for all others."""
        self._index = {grade.grade_id: i for i, grade in enumerate(self.grades)}

    @functools.cached_property
    def made_of(self) -> dict[str, tuple[str, ...]]:
        """Material id -> the grades of which it is made, the usual one first; empty for what is no clean
        metal."""
        from grade_library.naming.trade_words import GradeIds, members_of

        ids = GradeIds(self.grades)
        return {material.material_id: members_of(material, ids) for material in self.dictionary.materials}

    @functools.cached_property
    def elements(self) -> tuple[str, ...]:
        """Columns of the arrays: every element that a limit names, by atomic number."""
        named: set[str] = set()
        for grade in self.grades:
            named.update(grade.limits)
            for symbols in grade.sums:
                named.update(symbols.split("+"))
        return tuple(symbol for symbol in ELEMENTS if symbol in named)

    # The arrays are made when first asked for: a look-up by name or a grade card never needs them.

    @functools.cached_property
    def low(self) -> FloatArray:
        """Least [wt %], shape (n_grades, n_elements), NaN = not stated."""
        return self._spread(np.array([limit.low for limit in self._limits], dtype=np.float64), np.nan)

    @functools.cached_property
    def high(self) -> FloatArray:
        """Most [wt %], shape (n_grades, n_elements), NaN = not stated."""
        return self._spread(np.array([limit.high for limit in self._limits], dtype=np.float64), np.nan)

    @functools.cached_property
    def is_rest(self) -> NDArray[np.bool_]:
        """The element makes up the rest, shape (n_grades, n_elements)."""
        return self._spread(np.array([limit.is_rest for limit in self._limits], dtype=np.bool_), False)

    @functools.cached_property
    def others_each(self) -> FloatArray:
        """Most of any element not named [wt %], shape (n_grades,), NaN = not stated."""
        return _fixed(np.array([grade.others_each for grade in self.grades], dtype=np.float64))

    @functools.cached_property
    def others_total(self) -> FloatArray:
        """Most of all elements not named [wt %], shape (n_grades,), NaN = not stated."""
        return _fixed(np.array([grade.others_total for grade in self.grades], dtype=np.float64))

    @functools.cached_property
    def _limits(self) -> list[Limit]:
        return [limit for grade in self.grades for limit in grade.limits.values()]

    @functools.cached_property
    def _places(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Return row and column of each of the limits."""
        column = {symbol: j for j, symbol in enumerate(self.elements)}
        rows = np.repeat(np.arange(len(self.grades)), [len(grade.limits) for grade in self.grades])
        return rows, np.array(
            [column[symbol] for grade in self.grades for symbol in grade.limits], dtype=np.intp
        )

    def _spread(self, values: NDArray[_Kind], elsewhere: object) -> NDArray[_Kind]:
        """Return the limits' values at their places in an array of all grades and elements."""
        array = np.full((len(self.grades), len(self.elements)), elsewhere, dtype=values.dtype)
        array[self._places] = values
        return _fixed(array)

    def __len__(self) -> int:
        return len(self.grades)

    def grade(self, grade_id: str) -> Grade:
        """Return the grade of that id.

        Raises:
            KeyError: There is none; `names.NameIndex` finds grades by other names.
        """
        return self.grades[self._index[grade_id]]

    def answer(self, answer_id: str) -> Grade:
        """Return a grade, or a material in the form in which answers are carried.

        Raises:
            KeyError: Neither has that id.
        """
        material = self.dictionary.material(answer_id)
        return self.grade(answer_id) if material is None else material.as_answer()

    def index_of(self, grade_id: str) -> int:
        """Return the row of that grade in the arrays.

        Raises:
            KeyError: There is none.
        """
        return self._index[grade_id]


def with_residuals(library: GradeLibrary, factors: Mapping[tuple[str, str], float]) -> GradeLibrary:
    """Return the same grades with residuals of their own: a library for itself, compiled anew.

    Args:
        library: The grades.
        factors: Id of one of the grades and element -> how many times the usual residual.
    """
    other = copy.copy(library)
    other.residual_factors = MappingProxyType(dict(factors))
    return other


def _fixed(array: NDArray[_Kind]) -> NDArray[_Kind]:
    """Return the array, closed against writing: everybody shares it."""
    array.setflags(write=False)
    return array


def load(yard_file: Path | None = None) -> GradeLibrary:
    """Return the shipped grades, with the yard's own laid over them.

    Args:
        yard_file: The yard's own grade file; None or a path that does not exist for none.

    Raises:
        GradeDataError: A file is wrong; a line of the message for each fault names file, grade and element.

    >>> library = load()
    >>> library.low.shape == (len(library), len(library.elements))
    True
    """
    shipped = _shipped()
    if yard_file is None or not yard_file.exists():
        return shipped
    from grade_library.loading.yard_grades import read_yard_grades

    by_id = {grade.grade_id: grade for grade in shipped.grades}
    own, clashes = read_yard_grades(yard_file, by_id, shipped.sources)
    by_id.update({grade.grade_id: grade for grade in own})
    return GradeLibrary(by_id.values(), shipped.sources, clashes, shipped.dictionary)


@functools.cache
def _shipped() -> GradeLibrary:
    return read_library(DATA_FOLDER, library_cache.cache_folder())


def read_library(folder: Path, cache: Path | None = None) -> GradeLibrary:
    """Return the library that a folder of TOML files holds.

    Args:
        folder: Holds sources.toml and the grade files; other TOML files there are left alone.
        cache: Folder that keeps the checked grades for the next time; None for none.

    Raises:
        GradeDataError: A file is wrong; a line of the message for each fault names file, grade and element.
    """
    contents = {file.name: file.read_bytes() for file in sorted(folder.glob("*.toml"))}
    key = library_cache.content_key(contents)
    kept = library_cache.read_cached(cache, key) if cache is not None else None
    if kept is not None:
        kept_grades, kept_sources, dictionary = kept
        return GradeLibrary(kept_grades, kept_sources, (), dictionary)
    grades, sources = _read_files(contents, str(folder))
    library = GradeLibrary(grades, sources, (), _read_dictionary(contents, grades))
    if cache is not None:
        library_cache.write_cached(cache, key, library.grades, sources, library.dictionary)
    return library


def _read_dictionary(contents: Mapping[str, bytes], grades: Iterable[Grade]) -> Dictionary:
    """Return materials and trade words of the files; a folder without their files has none."""
    from grade_library.loading.material_file import MATERIALS_FILE, read_materials
    from grade_library.naming.trade_words import THINGS_FILE, TRADE_WORDS_FILE, read_things, read_trade_words

    materials, problems = read_materials(
        contents.get(MATERIALS_FILE, b"").decode("utf-8"), {grade.grade_id for grade in grades}
    )
    if problems:
        raise GradeDataError(_said(list(problems)))
    words = read_trade_words(contents.get(TRADE_WORDS_FILE, b"").decode("utf-8"))
    things = read_things(contents.get(THINGS_FILE, b"").decode("utf-8"))
    return Dictionary.of(grades, materials, (*words, *things))


def _read_files(contents: Mapping[str, bytes], place: str) -> tuple[list[Grade], dict[str, Source]]:
    """Return the grades and sources of all files, checked."""
    # Only a cold cache needs the TOML readers: importing them would cost every warm start 8 ms.
    from grade_library.loading.grade_file import read_grades

    problems: list[str] = []
    texts: dict[str, str] = {}
    for name in sorted(contents):
        try:
            texts[name] = contents[name].decode("utf-8")
        except UnicodeDecodeError as error:
            problems.append(f"{name}: not UTF-8 text: {error}")
    sources = read_sources(SOURCES_FILE, texts[SOURCES_FILE]) if SOURCES_FILE in texts else dict(BUILT_IN)
    grades: list[Grade] = []
    home: dict[str, str] = {}
    for name, text in texts.items():
        if not is_grade_text(text):
            continue
        content = read_grades(name, text, sources)
        problems += content.problems
        for grade in content.grades:
            if grade.grade_id in home:
                problems.append(
                    f'{name}, grade "{grade.grade_id}": the id is taken in {home[grade.grade_id]}'
                )
            home[grade.grade_id] = name
        grades += content.grades
    if problems:
        raise GradeDataError(_said(problems))
    if not grades:
        raise GradeDataError(f"no grade file found in {place}: needs TOML files with a family at their head")
    return grades, sources


def _said(problems: list[str]) -> str:
    """Return the first faults, one a line, and how many more there are."""
    more = len(problems) - MOST_FAULTS_SHOWN
    return "\n".join([*problems[:MOST_FAULTS_SHOWN], *([f"... and {more} more"] if more > 0 else [])])


def is_grade_text(text: str) -> bool:
    """Return True for the content of a grade file: a family stands at its head or in a grade of it."""
    return text.startswith("family =") or "\nfamily =" in text
