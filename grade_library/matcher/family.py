"""What is sure of a piece even when its grade is open."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Compiled
from grade_library.matcher.hypotheses import Posterior

SURE = 0.90
"""Share of the probability from which a family, series or group is said (the yard's usual idea of
settled)."""
TELLING = ("Ni", "Cr", "Mo", "Zn", "Sn", "Pb", "Si", "Mg", "Cu", "Al", "Mn", "Co", "V", "W")
"""Alloying elements worth naming with a family."""
WORTH_NAMING_WT_PCT = 0.8


@dataclass(frozen=True, slots=True)
class _Level:
    """One way to call grades together: by family, series or group."""

    names: tuple[str, ...]
    """In order."""
    number: NDArray[np.int64]
    """Of the name of each grade, shape (n_grades,)."""


@functools.lru_cache(maxsize=4)
def _levels(library: GradeLibrary) -> tuple[_Level, ...]:
    """Return the ways to call grades together, the narrowest first."""
    levels = []
    for name in (_family_name, _series_name, _group_name):
        names, number = np.unique([name(grade) for grade in library.grades], return_inverse=True)
        levels.append(_Level(tuple(names.tolist()), number))
    return tuple(levels)


def family_answer(
    library: GradeLibrary, posterior: Posterior, compiled: Compiled, values: Mapping[str, float]
) -> str:
    """Return what can be said of the piece as a whole, "" where not even its group is sure.

    Args:
        library: The grades.
        posterior: What is known after the facts.
        compiled: What was worked out for the library.
        values: The reading [wt %], empty where there is none.

    The narrowest of family, series and group that is settled is named, its unlisted members among it, with
    the two main alloying elements of the reading.
    """
    weights = compiled.kinds.spread(posterior.members, posterior.probability) + posterior.probability
    for level in _levels(library):
        share = np.bincount(level.number, weights=weights)
        best = int(np.argmax(share))
        if share[best] >= SURE:
            base = library.grades[int(np.argmax(np.where(level.number == best, weights, -1.0)))].base
            return ", ".join([level.names[best], *_telling(values, base)])
    return ""


def _family_name(grade: Grade) -> str:
    return _series_name(grade) if _has_numbered_series(grade) else grade.family


def _series_name(grade: Grade) -> str:
    if _has_numbered_series(grade):
        return f"{grade.series}-series {grade.group}"
    return grade.series if grade.series != grade.family else grade.family


def _group_name(grade: Grade) -> str:
    return grade.group


def _has_numbered_series(grade: Grade) -> bool:
    return grade.series[:1].isdigit() and len(grade.series) <= 4


def _telling(values: Mapping[str, float], base: str) -> list[str]:
    found = [(values[symbol], symbol) for symbol in TELLING if symbol != base and symbol in values]
    found = [item for item in sorted(found, reverse=True) if item[0] >= WORTH_NAMING_WT_PCT][:2]
    return [f"{symbol} about {value:.3g} %" for value, symbol in found]
