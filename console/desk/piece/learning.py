"""What the desk has learned from its own ledger: frequencies of closed runs, residuals of settled loads."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import CLOSED_RUNS
from console.ledger.views.sums import sums_by
from console.yard.loads.learning import residual_factors
from console.yard.yard import Yard
from grade_library.library import GradeLibrary, with_residuals
from grade_library.matcher.prior import Prior


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """The frequencies that count now, and what they were learned from."""

    prior: Prior
    counts: Mapping[str, int] = field(default_factory=dict)
    """Grade id -> pieces in closed runs; counted also while the yard has learning switched off."""
    is_on: bool = True
    """False where yard.toml says learn_from_runs = false: the usual frequencies count."""


def learned_of(source: LedgerSource | None, yard: Yard, library: GradeLibrary) -> Learned:
    """Return the frequencies with which pieces are considered now.

    Args:
        source: The ledger or a reader; None for a yard that has no store yet.
        yard: Says whether runs are learned from.
        library: The grades.
    """
    counts = {} if source is None else counts_of_closed_runs(source)
    usual = Prior.usual(library)
    prior = Prior.from_counts(counts, library) if yard.learn_from_runs else usual
    return Learned(prior=prior, counts=counts, is_on=yard.learn_from_runs)


def counts_of_closed_runs(source: LedgerSource) -> dict[str, int]:
    """Return how many entries of the closed runs were named each grade.

    Only closed runs count: they were looked over. Pieces that stand voided and pieces without a name do not;
    one that was named later counts by its later name.
    """
    sums = sums_by(source, "grade_id", RowKind.PIECE, CLOSED_RUNS)
    return {grade_id: one.entries for grade_id, one in sums.items() if grade_id and one.entries}


def taught_by_settled(yard: Yard, library: GradeLibrary) -> GradeLibrary | None:
    """Return the grades with the residuals that settled loads taught of the bays; None where they did not.

    Args:
        yard: With what was learned of its bays.
        library: The grades as they are.
    """
    known = {grade.grade_id for grade in library.grades}
    shifts = [shift for bay in yard.bays for shift in bay.learned.values()]
    factors = residual_factors(shifts, {bay.code: bay.taken_ids & known for bay in yard.bays})
    return with_residuals(library, factors) if factors else None
