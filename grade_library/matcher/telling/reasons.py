"""Why a grade fits or does not: which facts weigh most."""

import functools
import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import ReadingEvidence
from grade_library.matcher.telling.element_reasons import element_reason
from grade_library.normal import FloatArray
from grade_library.verdict import Reason, ReasonKind

MOST_REASONS = 5
WORTH_SAYING_NATS = 0.05
"""A reason that moves the odds by less than 5 % is not said."""
CLEARLY_OUT_SIGMAS = 2.0
"""An element this far outside its limit is always among the reasons."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WholeEvidence:
    """A fact that is not about one element: a bench observation, a claim, the prior."""

    kind: ReasonKind
    name: str
    weights: FloatArray
    """Against the average of all grades [nats], shape (n_grades,)."""
    named: frozenset[str] = frozenset()
    """Ids of the grades that a claim names."""


class ReasonTable:
    """What speaks for and against some grades; each is put into words when it is asked for."""

    def __init__(
        self,
        rows: NDArray[np.int64],
        library: GradeLibrary,
        readings: Sequence[ReadingEvidence],
        whole: Sequence[WholeEvidence],
        *,
        kind: int,
    ) -> None:
        """Take what was weighed.

        Args:
            rows: Rows of the grades in the library.
            library: The grades.
            readings: What the readings say, one per technique.
            whole: All other facts.
            kind: Number of the kind whose average alloy the elements are weighed against.
        """
        self._rows, self._library, self._readings, self._whole = rows, library, readings, whole
        self._kind = kind

    @functools.cached_property
    def _ends(self) -> list[int]:
        """Where the elements of each reading begin and end among the facts."""
        counts = [len(reading.readable.melts.elements) for reading in self._readings]
        return list(itertools.accumulate(counts, initial=0))

    @functools.cached_property
    def _ranked(self) -> list[list[tuple[int, float]]]:
        """Number and weight of the strongest facts for every grade, the strongest first."""
        rows, readings, whole = self._rows, self._readings, self._whole
        blocks = [reading.of_elements(rows) - reading.unlisted[self._kind] for reading in readings]
        ranks = [
            np.abs(block) + _urgency(reading, rows) for block, reading in zip(blocks, readings, strict=True)
        ]
        others = np.array([fact.weights[rows] for fact in whole]).reshape(len(whole), len(rows)).T
        weights, rank = np.hstack([*blocks, others]), np.hstack([*ranks, np.abs(others)])
        order = np.argsort(-rank, axis=1, kind="stable")[:, : MOST_REASONS + 2]
        n_said = (np.take_along_axis(rank, order, 1) >= WORTH_SAYING_NATS).sum(axis=1).tolist()
        strongest = np.take_along_axis(weights, order, 1).tolist()
        found = zip(order.tolist(), strongest, n_said, strict=True)
        return [list(zip(columns[:n], of_grade[:n], strict=True)) for columns, of_grade, n in found]

    def of(self, place: int) -> tuple[Reason, ...]:
        """Return at most five reasons for the grade at this place among the rows, the strongest first."""
        row = int(self._rows[place])
        grade = self._library.grades[row]
        reasons: list[Reason] = []
        for column, weight in self._ranked[place]:
            if len(reasons) == MOST_REASONS:
                break
            reason = _reason(grade, row, column, weight, self._readings, self._whole, self._ends)
            if reason is not None:
                reasons.append(reason)
        return tuple(reasons)


def _urgency(reading: ReadingEvidence, rows: NDArray[np.int64]) -> FloatArray:
    """Return a large number where an element lies clearly outside a limit, so that it is always said; else
    0."""
    melts, observed = reading.readable.melts, reading.observed
    terms = melts.index[rows]
    out = np.maximum(melts.low[terms] - observed.value, observed.value - melts.high[terms]) / observed.sigma
    return np.where(out > CLEARLY_OUT_SIGMAS, 1000.0, 0.0)


def _whole_text(fact: WholeEvidence, grade: Grade, weight: float) -> str:
    if fact.kind is ReasonKind.CLAIM:
        if grade.grade_id in fact.named:
            return f"{fact.name}: this grade"
        return f"{fact.name}: another grade" + (", this one is often called so" if weight >= 0 else "")
    if fact.kind is ReasonKind.PRIOR:
        return f"{'often' if weight >= 0 else 'seldom'} {fact.name}"
    return f"{fact.name} {'fits' if weight >= 0 else 'speaks against it'}"


def _reason(
    grade: Grade,
    row: int,
    column: int,
    weight: float,
    readings: Sequence[ReadingEvidence],
    whole: Sequence[WholeEvidence],
    ends: Sequence[int],
) -> Reason | None:
    for reading, (start, end) in zip(readings, itertools.pairwise(ends), strict=True):
        if column < end:
            return element_reason(reading, grade, row, column - start, weight)
    fact = whole[column - ends[-1]]
    return Reason(kind=fact.kind, text=_whole_text(fact, grade, weight), weight_nats=weight)
