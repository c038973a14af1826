"""What the bench checks would find on a piece, and what it is worth after each finding."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.yard.next_check.checks import YardCheck
from console.yard.next_check.grades_at_hand import AtHand
from console.yard.next_check.observing import Showing, showing
from console.yard.placing.worth_table import Decisions, Situation
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.lots.information import findings
from grade_library.normal import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BenchFindings:
    """Everything that one check can find on a piece."""

    check: YardCheck
    outcomes: Sequence[str]
    """As a sorter would say it."""
    values: FloatArray | None
    """Middle of each class of a measurement, shape (n_findings,); None for words."""
    chances: FloatArray
    """Of each finding, shape (n_findings,), sum 1."""
    decisions: Decisions
    """Where the piece would go after it."""
    worth: float
    """What the piece is worth after the check, over all findings [currency]."""


def bench_findings(
    checks: Sequence[YardCheck],
    facts: PieceFacts,
    library: GradeLibrary,
    at_hand: AtHand,
    situation: Situation,
    loss: FloatArray,
    read_for: float,
) -> list[BenchFindings]:
    """Return what each check can find that can show something new, by exact sums.

    The findings of all checks lie end to end: they are decided in one go, since it is the number of array
    operations that costs.

    Args:
        checks: Any checks but readings.
        facts: What is known of the piece.
        library: The grades.
        at_hand: The metals that still count.
        situation: The bays as they stand for the piece.
        loss: What a reading afterwards would leave wrong for each metal at hand [currency].
        read_for: What it costs [currency]; inf where none may be made.
    """
    shown = [(check, showing(check.kind, facts, library, at_hand.rows)) for check in checks]
    tried = [(check, one) for check, one in shown if one is not None]
    if not at_hand.rows.size or not tried:
        return []
    # Metal of no kind shows what the metals at hand show on average.
    found = findings(at_hand.shares, np.concatenate([one.chances[:, at_hand.rows] for _, one in tried]))
    no_kind = np.full(len(found.after), at_hand.no_kind)
    decisions = situation.decide(found.after, no_kind)
    read = situation.perfect(found.after, no_kind) - found.after @ loss - read_for
    worth = found.chance * np.maximum(decisions.worth, read)
    starts = np.cumsum([0, *(len(one.outcomes) for _, one in tried)])
    ends = itertools.pairwise(np.searchsorted(found.index, starts).tolist())
    told = []
    for (check, one), start, (first, last) in zip(tried, starts[:-1].tolist(), ends, strict=True):
        index, worths = found.index[first:last] - start, worth[first:last]
        told.append(_of_one(check, one, index, found.chance[first:last], decisions.part(first, last), worths))
    return told


def _of_one(
    check: YardCheck,
    shown: Showing,
    index: NDArray[np.int64],
    chances: FloatArray,
    decisions: Decisions,
    worths: FloatArray,
) -> BenchFindings:
    return BenchFindings(
        check=check,
        outcomes=[shown.outcomes[i] for i in index.tolist()],
        values=None if shown.values is None else shown.values[index],
        chances=chances,
        decisions=decisions,
        worth=float(worths.sum()),
    )
