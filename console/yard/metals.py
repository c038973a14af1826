"""What a piece can be: the grades of the library, an unlisted alloy of each kind, named materials."""

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

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
    row_of_material: dict[str, int]
    """Materials stand behind the kinds: no check weighs them, so `len` leaves them out."""
    mean: FloatArray
    """Mean of the melts [wt %], shape (n_grades + n_kinds + n_materials, n_elements)."""
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
    named_mean, named_spread = _of_materials(library)
    return Metals(
        n_grades=len(library),
        row_of_kind={
            (kind.group, kind.family, kind.series): len(library) + k for k, kind in enumerate(kinds.kinds)
        },
        row_of_material={
            material.material_id: len(of_kind) + m for m, material in enumerate(library.dictionary.materials)
        },
        mean=np.vstack([of_kind, named_mean]),
        spread=np.vstack([every, named_spread]),
    )


def _of_materials(library: GradeLibrary) -> tuple[FloatArray, FloatArray]:
    """Return mean and spread of what materials hold [wt % of the whole piece], (n_materials, n_elements).

    A share is spread evenly over its stated range, so its standard spread is the range over the root of 12.
    What is no metal is nobody's share: a row adds up to less than 100.
    """
    columns = {symbol: column for column, symbol in enumerate(library.elements)}
    shape = (len(library.dictionary.materials), len(columns))
    mean, spread = np.zeros(shape), np.zeros(shape)
    for row, material in enumerate(library.dictionary.materials):
        for symbol, limit in material.shares.items():
            low, high = limit.low or 0.0, 100.0 if limit.high is None else limit.high
            if symbol in columns:
                mean[row, columns[symbol]] = (low + high) / 2.0
                spread[row, columns[symbol]] = (high - low) / math.sqrt(12.0)
    total = mean.sum(axis=1, keepdims=True)
    return mean * np.minimum(1.0, 100.0 / np.maximum(total, 1.0)), spread


@functools.lru_cache(maxsize=2048)
def rows_of(library: GradeLibrary, answer_id: str) -> Mapping[int, float]:
    """Return the rows by which a grade or material is counted, with the part that each has of it.

    A grade is its own row. A material with known shares is its row behind the kinds; clean metal without them
    is what its grades are at their usual frequencies.

    Raises:
        KeyError: The library knows neither grade nor material of that id.
    """
    material = library.dictionary.material(answer_id)
    if material is None:
        return MappingProxyType({library.index_of(answer_id): 1.0})
    made_of = library.made_of[answer_id]
    if material.shares or not made_of:
        return MappingProxyType({metals_of(library).row_of_material[answer_id]: 1.0})
    rows = [library.index_of(grade_id) for grade_id in made_of]
    usual = Prior.usual(library).shares(library)[rows]
    parts = usual / usual.sum() if usual.sum() > 0.0 else np.full(len(rows), 1.0 / len(rows))
    return MappingProxyType(dict(zip(rows, parts.tolist(), strict=True)))


def with_kinds(library: GradeLibrary, by_grade: FloatArray) -> FloatArray:
    """Return what is known of each grade with the same of an unlisted alloy of each kind behind it.

    Args:
        library: The grades.
        by_grade: Any figure, shape (..., n_grades); the kinds get its mean over their grades.

    Returns:
        Shape (..., n_grades + n_kinds).
    """
    weights, order, starts = _weights(library)
    of_kinds = np.add.reduceat((by_grade * weights)[..., order], starts, axis=-1)
    return np.concatenate([by_grade, of_kinds], axis=-1)


@functools.lru_cache(maxsize=4)
def _kinds(library: GradeLibrary) -> Kinds:
    return kinds_of(library)


@functools.lru_cache(maxsize=4)
def _weights(library: GradeLibrary) -> tuple[FloatArray, NDArray[np.int64], NDArray[np.int64]]:
    """Return how much each grade counts in its kind, as often as it is met, shape (n_grades,); the rows in
    order of their kinds; and where each kind begins among these."""
    kinds = _kinds(library)
    met = Prior.usual(library).shares(library)
    order = np.argsort(kinds.kind_of, kind="stable")
    starts = np.flatnonzero(np.diff(kinds.kind_of[order], prepend=-1))
    return met / kinds.summed(met)[kinds.kind_of], order, starts


def unlisted_rows(verdict: Verdict, library: GradeLibrary) -> dict[int, float]:
    """Return the rows of the unlisted alloys that come into question with their probabilities."""
    rows = metals_of(library).row_of_kind
    return {
        rows[kind]: member.unlisted
        for member in verdict.families
        if member.unlisted > 0.0 and (kind := (member.group, member.family, member.series)) in rows
    }
