"""Everything that a piece can be: the grades of the library, then an unlisted alloy of each kind of metal."""

import functools
from dataclasses import dataclass

import numpy as np

from console.yard.yard import MetalKind
from grade_library.library import GradeLibrary
from grade_library.lots.blending import step_moments
from grade_library.matcher.kinds import Kinds, kinds_of
from grade_library.matcher.melt import spreads_of
from grade_library.matcher.prior import Prior
from grade_library.normal import FloatArray
from grade_library.verdict import Verdict


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Metals:
    """The rows of everything that a piece can be, and what the melts of each look like.

    An unlisted alloy of a kind is like the grades of its kind, each as often as it is met: that is its mean,
    and how far they lie apart is its spread.
    """

    n_grades: int
    """Rows from here on are unlisted alloys."""
    row_of_kind: dict[MetalKind, int]
    mean: FloatArray
    """Mean of the melts [wt %], shape (n_grades + n_kinds, n_elements)."""
    spread: FloatArray
    """Their standard deviation [wt %], same shape."""

    def __len__(self) -> int:
        return self.n_grades + len(self.row_of_kind)


@functools.lru_cache(maxsize=4)
def metals_of(library: GradeLibrary) -> Metals:
    """Return everything that a piece can be, worked out once for each library."""
    kinds, spreads = _kinds(library), spreads_of(library)
    mean, spread = step_moments(spreads.low, spreads.mid, spreads.high, spreads.low_share)
    mean = mean * (100.0 / mean.sum(axis=1, keepdims=True))
    of_kind = with_kinds(library, mean.T).T
    second = with_kinds(library, (mean**2 + spread**2).T).T
    every = np.sqrt(np.maximum(second - of_kind**2, 0.0))
    every[: len(library)] = spread
    return Metals(
        n_grades=len(library),
        row_of_kind={
            (kind.group, kind.family, kind.series): len(library) + k for k, kind in enumerate(kinds.kinds)
        },
        mean=of_kind,
        spread=every,
    )


def with_kinds(library: GradeLibrary, by_grade: FloatArray) -> FloatArray:
    """Return what is known of each grade with the same of an unlisted alloy of each kind behind it.

    Args:
        library: The grades.
        by_grade: Any figure, shape (..., n_grades); the kinds get its mean over their grades.

    Returns:
        Shape (..., n_grades + n_kinds).
    """
    return np.concatenate([by_grade, by_grade @ _weights(library)], axis=-1)


@functools.lru_cache(maxsize=4)
def _kinds(library: GradeLibrary) -> Kinds:
    return kinds_of(library)


@functools.lru_cache(maxsize=4)
def _weights(library: GradeLibrary) -> FloatArray:
    """Return how much each grade counts in its kind: as often as it is met, shape (n_grades, n_kinds)."""
    kinds = _kinds(library)
    met = Prior.usual(library).shares(library)
    weights = np.zeros((len(library), len(kinds.kinds)))
    weights[np.arange(len(library)), kinds.kind_of] = met / kinds.summed(met)[kinds.kind_of]
    return weights


def unlisted_rows(verdict: Verdict, library: GradeLibrary) -> dict[int, float]:
    """Return the rows of the unlisted alloys that come into question with their probabilities."""
    rows = metals_of(library).row_of_kind
    return {
        rows[kind]: member.unlisted
        for member in verdict.families
        if member.unlisted > 0.0 and (kind := (member.group, member.family, member.series)) in rows
    }
