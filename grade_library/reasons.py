"""Why a grade fits or does not: which facts weigh most."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.element_reasons import element_reason
from grade_library.evidence import ReadingEvidence
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
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


def reasons_for(
    rows: NDArray[np.int64],
    library: GradeLibrary,
    readings: Sequence[ReadingEvidence],
    whole: Sequence[WholeEvidence],
    *,
    group: int,
) -> list[tuple[Reason, ...]]:
    """Return at most five reasons for each of these grades, the strongest first.

    Args:
        rows: Rows of the grades in the library.
        library: The grades.
        readings: What the readings say, one per technique.
        whole: All other facts.
        group: Number of the group whose average alloy the elements are weighed against.
    """
    blocks = [reading.of_elements(rows) - reading.unlisted[group] for reading in readings]
    ranks = [np.abs(block) + _urgency(reading, rows) for block, reading in zip(blocks, readings, strict=True)]
    others = np.array([fact.weights[rows] for fact in whole]).reshape(len(whole), len(rows)).T
    weights = np.concatenate([*blocks, others], axis=1)
    rank = np.concatenate([*ranks, np.abs(others)], axis=1)
    order = np.argsort(-rank, axis=1, kind="stable")[:, : MOST_REASONS + 2]
    ends = [0, *np.cumsum([block.shape[1] for block in blocks])]
    found = []
    for i, row in enumerate(rows):
        reasons: list[Reason] = []
        for column in order[i]:
            if rank[i, column] < WORTH_SAYING_NATS or len(reasons) == MOST_REASONS:
                break
            reason = _reason(
                library.grades[row], int(row), int(column), float(weights[i, column]), readings, whole, ends
            )
            if reason is not None:
                reasons.append(reason)
        found.append(tuple(reasons))
    return found


def _urgency(reading: ReadingEvidence, rows: NDArray[np.int64]) -> FloatArray:
    """Return a large number where an element lies clearly outside a limit, so that it is always said; else
    0."""
    melts, observed = reading.readable.melts, reading.observed
    terms = melts.index[rows]
    out = np.maximum(melts.low[terms] - observed.value, observed.value - melts.high[terms]) / observed.sigma
    return np.where(out > CLEARLY_OUT_SIGMAS, 1000.0, 0.0)


def _whole_text(fact: WholeEvidence, weight: float) -> str:
    if fact.kind is ReasonKind.CLAIM:
        return f"{fact.name}: {'this grade' if weight >= 0 else 'another grade'}"
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
    return Reason(kind=fact.kind, text=_whole_text(fact, weight), weight_nats=weight)
