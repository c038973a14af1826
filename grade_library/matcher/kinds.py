"""Kinds of metal: families as a yard sorts them, each with room for alloys that the library does not list."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Kind:
    """A family of grades; aluminium and stainless by series too, since yards keep those apart."""

    group: str
    family: str
    series: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Kinds:
    """Every kind of a library, and which grade is of which."""

    kinds: tuple[Kind, ...]
    kind_of: NDArray[np.int64]
    """Shape (n_grades,)."""
    groups: tuple[str, ...]
    group_of_kind: NDArray[np.int64]
    """Shape (n_kinds,)."""

    def summed(self, by_grade: FloatArray) -> FloatArray:
        """Return the sum over the grades of each kind, shape (n_kinds,)."""
        return np.bincount(self.kind_of, by_grade, minlength=len(self.kinds)).astype(np.float64)

    def spread(self, by_kind: FloatArray, weights: FloatArray) -> FloatArray:
        """Return what is known of each kind shared out among its grades by weight, shape (n_grades,)."""
        held = weights + 1e-12
        return np.asarray((by_kind / self.summed(held))[self.kind_of] * held)

    def standing(self, weights: FloatArray, n: int) -> NDArray[np.int64]:
        """Return the n grades of each kind that weigh most, by kind and then weight; fewer where there are
        fewer."""
        order = np.lexsort((-weights, self.kind_of))
        firsts = np.flatnonzero(np.diff(self.kind_of[order], prepend=-1))
        place = np.arange(len(order)) - np.repeat(firsts, np.diff(np.append(firsts, len(order))))
        return np.asarray(order[place < n])


def kinds_of(library: GradeLibrary) -> Kinds:
    """Return the kinds of a library in order of group, family and series."""
    of_grade = [Kind(group=g.group, family=g.family, series=g.series) for g in library.grades]
    kinds = tuple(sorted(set(of_grade)))
    place = {kind: k for k, kind in enumerate(kinds)}
    groups = tuple(sorted({kind.group for kind in kinds}))
    return Kinds(
        kinds=kinds,
        kind_of=np.array([place[kind] for kind in of_grade]),
        groups=groups,
        group_of_kind=np.array([groups.index(kind.group) for kind in kinds]),
    )
