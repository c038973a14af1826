"""The grade library: every grade, and its limits as arrays for the arithmetic."""

import functools
from collections.abc import Iterable, Mapping
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from grade_library.elements import ELEMENTS
from grade_library.errors import GradeDataError
from grade_library.grade import Grade
from grade_library.grade_file import read_grades
from grade_library.groups import GROUPS
from grade_library.sources import BUILT_IN, Source, read_sources

__all__ = ["GROUPS", "GradeLibrary", "load", "read_library"]

SOURCES_FILE = "sources.toml"


class GradeLibrary:
    """All grades in a fixed order (by grade id), and their limits as arrays that share the order."""

    def __init__(
        self, grades: Iterable[Grade], sources: Mapping[str, Source], clashes: Iterable[str] = ()
    ) -> None:
        self.grades: tuple[Grade, ...] = tuple(sorted(grades, key=lambda grade: grade.grade_id))
        self.sources: Mapping[str, Source] = MappingProxyType(dict(sources))
        self.clashes: tuple[str, ...] = tuple(clashes)
        """Where the yard's own grades and the shipped ones disagree, in words."""
        self._index = {grade.grade_id: i for i, grade in enumerate(self.grades)}
        named = {symbol for grade in self.grades for symbol in grade.limits}
        named |= {part for grade in self.grades for key in grade.sums for part in key.split("+")}
        self.elements: tuple[str, ...] = tuple(symbol for symbol in ELEMENTS if symbol in named)
        """Columns of the arrays: every element that a limit names, by atomic number."""
        shape = (len(self.grades), len(self.elements))
        self.low: NDArray[np.float64] = np.full(shape, np.nan)
        """Least [wt %], shape (n_grades, n_elements), NaN = not stated."""
        self.high: NDArray[np.float64] = np.full(shape, np.nan)
        """Most [wt %], shape (n_grades, n_elements), NaN = not stated."""
        self.is_rest: NDArray[np.bool_] = np.zeros(shape, dtype=bool)
        """The element makes up the rest, shape (n_grades, n_elements)."""
        self.others_each = _column(grade.others_each for grade in self.grades)
        """Most of any element not named [wt %], shape (n_grades,), NaN = not stated."""
        self.others_total = _column(grade.others_total for grade in self.grades)
        """Most of all elements not named [wt %], shape (n_grades,), NaN = not stated."""
        self._fill_limits()

    def _fill_limits(self) -> None:
        column = {symbol: j for j, symbol in enumerate(self.elements)}
        rows, columns, lows, highs, rests = [], [], [], [], []
        for i, grade in enumerate(self.grades):
            for symbol, limit in grade.limits.items():
                rows.append(i)
                columns.append(column[symbol])
                lows.append(np.nan if limit.low is None else limit.low)
                highs.append(np.nan if limit.high is None else limit.high)
                rests.append(limit.is_rest)
        self.low[rows, columns] = lows
        self.high[rows, columns] = highs
        self.is_rest[rows, columns] = rests
        for array in (self.low, self.high, self.is_rest, self.others_each, self.others_total):
            array.setflags(write=False)

    def __len__(self) -> int:
        return len(self.grades)

    def grade(self, grade_id: str) -> Grade:
        """Return the grade of that id.

        Raises:
            KeyError: There is none; `names.NameIndex` finds grades by other names.
        """
        return self.grades[self._index[grade_id]]

    def index_of(self, grade_id: str) -> int:
        """Return the row of that grade in the arrays.

        Raises:
            KeyError: There is none.
        """
        return self._index[grade_id]


def _column(values: Iterable[float | None]) -> NDArray[np.float64]:
    return np.array([np.nan if value is None else value for value in values], dtype=np.float64)


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
    return _shipped()


@functools.cache
def _shipped() -> GradeLibrary:
    return read_library(resources.files("grade_library") / "data")


def read_library(folder: Traversable) -> GradeLibrary:
    """Return the library that a folder of TOML files holds.

    Args:
        folder: Holds sources.toml and the grade files; other TOML files there are left alone.

    Raises:
        GradeDataError: A file is wrong; a line of the message for each fault names file, grade and element.
    """
    texts = {file.name: file.read_text("utf-8") for file in folder.iterdir() if file.name.endswith(".toml")}
    sources = read_sources(SOURCES_FILE, texts[SOURCES_FILE]) if SOURCES_FILE in texts else dict(BUILT_IN)
    grades: list[Grade] = []
    problems: list[str] = []
    home: dict[str, str] = {}
    for name in sorted(texts):
        if not is_grade_text(texts[name]):
            continue
        content = read_grades(name, texts[name], sources)
        problems += content.problems
        for grade in content.grades:
            if grade.grade_id in home:
                problems.append(
                    f'{name}, grade "{grade.grade_id}": the id is taken in {home[grade.grade_id]}'
                )
            home[grade.grade_id] = name
        grades += content.grades
    if problems:
        raise GradeDataError("\n".join(problems))
    if not grades:
        raise GradeDataError(f"no grade file found in {folder}: needs TOML files with a family at their head")
    return GradeLibrary(grades, sources)


def is_grade_text(text: str) -> bool:
    """Return True for the content of a grade file: a family stands at its head or in a grade of it."""
    return text.startswith("family =") or "\nfamily =" in text
