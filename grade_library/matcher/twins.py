"""Grades that a technique cannot tell apart: how far what it sees of their melts overlaps.

What neither grade names tells neither from the other: a tool steel and an engineering steel of one
composition, an ingot and the casting made of it differ in nothing but what is usual in their groups.
"""

import weakref
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.matcher.melt import spreads_of
from grade_library.normal import FloatArray
from grade_library.technique import FALLBACK, Profile, profiles

TWIN_OVERLAP = 0.25
"""Bhattacharyya coefficient B of the readings of two grades from which they are twins. Two normal
distributions that overlap so far are told apart wrongly one time in twenty, Φ(-√(2 ln(1/B))), the usual idea
of "cannot tell"; whatever their shape, between (1 - √(1 - B²))/2 and B/2 of the time."""
MOST_FINDERS = 8
"""Profiles whose twins are kept at hand; a daily check makes new ones."""
N_MAIN = 4
"""So many main elements of a grade are compared first."""


class TwinFinder:
    """The overlap of every grade with every other for one technique, worked out row by row when asked for."""

    def __init__(self, library: GradeLibrary, profile: Profile) -> None:
        spreads = spreads_of(library)
        seen = np.array([symbol not in profile.unseen for symbol in library.elements])
        self._mean = spreads.mean[:, seen]
        models = [
            profile.model(symbol) for symbol, is_seen in zip(library.elements, seen, strict=True) if is_seen
        ]
        a, b = np.array([model.a for model in models]), np.array([model.b for model in models])
        self._variance = spreads.variance[:, seen] + a**2 + (b * self._mean) ** 2
        self._log_variance = np.log(self._variance)
        self._is_named = ~spreads.is_residual[:, seen]
        self._mean_by_element = np.ascontiguousarray(self._mean.T)
        self._variance_by_element = np.ascontiguousarray(self._variance.T)
        self._grades = library.grades
        self._known: dict[int, tuple[Grade, ...]] = {}

    def overlap(self, row: int) -> FloatArray:
        """Return how far this grade's readings overlap with every grade's, shape (n_grades,), 0..1.

        Source: Bhattacharyya coefficient of normal distributions with the mean and variance of the readings.
        """
        everyone, everything = np.arange(len(self._grades)), np.arange(self._mean.shape[1])
        return np.asarray(np.exp(-self._distance(row, everyone, everything)))

    def rows(self, row: int) -> NDArray[np.int64]:
        """Return the rows of the twins, the nearest first."""
        most = -np.log(TWIN_OVERLAP)
        # The main elements rule most grades out, the first by its mean alone; only what is left is compared
        # in full.
        main = np.argsort(-self._mean[row], kind="stable")[:N_MAIN]
        mean, variance = self._mean_by_element[main[0]], self._variance_by_element[main[0]]
        left = np.flatnonzero(0.25 * (mean - mean[row]) ** 2 / (variance + variance[row]) <= most)
        left = left[self._distance(row, left, main) <= most]
        left = left[left != row]
        overlap = np.exp(-self._distance(row, left, np.arange(self._mean.shape[1])))
        order = np.argsort(-overlap, kind="stable")
        return np.asarray(left[order[overlap[order] >= TWIN_OVERLAP]])

    def _distance(self, row: int, rows: NDArray[np.int64], columns: NDArray[np.int64]) -> FloatArray:
        """Return the Bhattacharyya distance over what of these elements either names to each of these grades,
        shape (n_rows,)."""
        at = np.ix_(rows, columns)
        both = self._variance[at] + self._variance[row, columns]
        distance = 0.5 * (
            np.log(0.5 * both) - 0.5 * (self._log_variance[at] + self._log_variance[row, columns])
        )
        distance += 0.25 * (self._mean[at] - self._mean[row, columns]) ** 2 / both
        distance *= self._is_named[at] | self._is_named[row, columns]
        return np.asarray(distance.sum(axis=1))

    def twins(self, row: int) -> tuple[Grade, ...]:
        """Return the twins of the grade in this row, the nearest first."""
        found = self._known.get(row)
        if found is None:
            found = self._known[row] = tuple(self._grades[i] for i in self.rows(row))
        return found


_finders: "weakref.WeakKeyDictionary[GradeLibrary, dict[Profile, TwinFinder]]" = weakref.WeakKeyDictionary()


def finder_for(library: GradeLibrary, profile: Profile) -> TwinFinder:
    """Return the twin finder of a library and a technique, made once."""
    known = _finders.setdefault(library, {})
    if profile not in known:
        if len(known) >= MOST_FINDERS:
            known.pop(next(iter(known)))
        known[profile] = TwinFinder(library, profile)
    return known[profile]


def twins_of(
    library: GradeLibrary,
    grade_id: str,
    technique_name: str,
    technique_profiles: Mapping[str, Profile] | None = None,
) -> tuple[Grade, ...]:
    """Return the grades that a technique cannot tell from this one, the nearest first.

    Args:
        library: The grades.
        grade_id: The grade.
        technique_name: Key of a technique profile, such as "xrf"; an unknown one is taken as x-ray.
        technique_profiles: Key -> profile, where the yard has its own; None for the shipped ones.

    Raises:
        KeyError: The library has no such grade.
    """
    known = profiles() if technique_profiles is None else technique_profiles
    profile = known.get(technique_name, known[FALLBACK])
    return finder_for(library, profile).twins(library.index_of(grade_id))
