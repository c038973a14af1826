"""A lot that is said to be all one metal: which pieces to check, what the checks prove, and when to stop.

A counted lot follows a plan for a finite lot, in steps for 0, 1 and 2 wrong pieces; a heap that nobody
counted follows Wald's sequential test. The state is a record that goes to JSON and back, so that it can lie
in the ledger.
"""

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from grade_library.errors import ObservationError
from grade_library.lots.sampling import (
    LotPlan,
    least_share,
    least_wrong,
    most_share,
    most_wrong,
    most_wrong_after,
    plan_for,
)
from grade_library.lots.sequential import SequentialVerdict, WaldTest

USUAL_SHARE = 0.05
"""Share of wrong pieces that must not pass, where nobody asks for another (common practice)."""
USUAL_CONFIDENCE = 0.95
GOOD_PART = 0.1
"""A heap with a tenth of the share asked for should pass: Wald's test needs a good quality too (own
choice)."""
REFUSING_RISK = 0.05
HEAP_END = 3
"""A heap is left undecided after so many times the pieces that a clean one needs (own choice)."""
MOST_PIECES = 100_000


class LotState(StrEnum):
    """Where the checks of a lot stand."""

    GO_ON = "go on"
    UNIFORM = "uniform"
    NOT_UNIFORM = "not uniform"
    UNDECIDED = "undecided"
    """A heap that neither passed nor failed within the pieces that its test may take."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCheck:
    """One piece that was checked."""

    pick: int
    """Position in the lot, from 1; in a heap, how many pieces were passed over before it."""
    is_right: bool
    found: str = ""
    """What it is, in words, where it is not what was said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotBound:
    """What is known of the wrong pieces at the confidence asked, each end one-sided."""

    low: float
    """At least so many pieces of a counted lot, or that share of a heap."""
    high: float
    """At most."""
    is_share: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class UniformLot:
    """A lot under check; every act returns a new one."""

    lot_id: str
    said: str
    """What it is said to be: "6061"."""
    count: int | None
    """Pieces in the lot; None for a heap that nobody counted."""
    share: float
    """Share of wrong pieces that must not pass."""
    confidence: float
    accept: int
    """Most wrong pieces with which it can still pass: 0, 1 or 2."""
    seed: int
    """Of the picks, kept so that anybody can draw them again."""
    per_row: int | None = None
    """Pieces in a row, where the lot is stacked; None counts through."""
    checks: tuple[LotCheck, ...] = ()

    @property
    def checked(self) -> int:
        """How many pieces were checked."""
        return len(self.checks)

    @property
    def wrong(self) -> int:
        """How many of them were wrong."""
        return sum(not check.is_right for check in self.checks)

    @property
    def plan(self) -> LotPlan:
        """The plan of a counted lot."""
        assert self.count is not None
        return plan_for(self.count, self.share, self.confidence, self.accept)

    @property
    def test(self) -> WaldTest:
        """The test of a heap."""
        test = WaldTest(
            good_share=GOOD_PART * self.share,
            bad_share=self.share,
            alpha=REFUSING_RISK,
            beta=1.0 - self.confidence,
        )
        return replace(test, most=HEAP_END * test.needed(0))

    @property
    def state(self) -> LotState:
        """Where the checks stand."""
        if self.count is None:
            return {
                SequentialVerdict.ACCEPT: LotState.UNIFORM,
                SequentialVerdict.REFUSE: LotState.NOT_UNIFORM,
                SequentialVerdict.UNDECIDED: LotState.UNDECIDED,
                SequentialVerdict.GO_ON: LotState.GO_ON,
            }[self.test.verdict(self.checked, self.wrong)]
        needed = self.plan.needed(self.wrong)
        if needed is None:
            return LotState.NOT_UNIFORM
        return LotState.UNIFORM if self.checked >= needed else LotState.GO_ON

    @property
    def to_go(self) -> int:
        """How many right pieces in a row would end the checks; 0 once they have ended."""
        if self.state is not LotState.GO_ON:
            return 0
        needed = self.test.needed(self.wrong) if self.count is None else self.plan.needed(self.wrong)
        return max(0, (needed or 0) - self.checked)

    @property
    def next_pick(self) -> int | None:
        """The position to check next, or how many pieces of a heap to pass over; None at the end."""
        if self.state is not LotState.GO_ON:
            return None
        chance = random.Random(self.seed)
        if self.count is None:
            return [chance.randint(0, 9) for _ in range(self.checked + 1)][-1]
        return chance.sample(range(1, self.count + 1), self.count)[self.checked]

    def record(self, *, is_right: bool, found: str = "") -> "UniformLot":
        """Return the lot with one more piece checked, the one that was due.

        Raises:
            ObservationError: The checks have ended.
        """
        pick = self.next_pick
        if pick is None:
            raise ObservationError(f"The checks of lot {self.lot_id} have ended: {self.state.value}.")
        return replace(self, checks=(*self.checks, LotCheck(pick=pick, is_right=is_right, found=found)))

    def undo(self) -> "UniformLot":
        """Return the lot without its last check; the same piece is due again.

        Raises:
            ObservationError: Nothing was checked yet.
        """
        if not self.checks:
            raise ObservationError(f"Nothing was checked of lot {self.lot_id} yet.")
        return replace(self, checks=self.checks[:-1])

    def bound(self) -> LotBound:
        """Return what is known of the wrong pieces so far.

        For a lot that passed, the upper bound counts with its having been allowed to pass early. While the
        checks go on, it is what a sample planned for this size would prove.
        """
        n, k, sure = self.checked, self.wrong, self.confidence
        if self.count is None:
            if n == 0:
                return LotBound(low=0.0, high=1.0, is_share=True)
            return LotBound(low=least_share(k, n, sure), high=most_share(k, n, sure), is_share=True)
        if self.state is LotState.UNIFORM:
            high = min(most_wrong_after(self.plan, k), self.count - (n - k))
        else:
            high = most_wrong(self.count, n, k, sure)
        return LotBound(low=least_wrong(self.count, n, k, sure), high=high, is_share=False)

    def to_json(self) -> dict[str, Any]:
        """Return everything, JSON-ready."""
        return {
            "lot": self.lot_id,
            "said": self.said,
            "count": self.count,
            "share": self.share,
            "confidence": self.confidence,
            "accept": self.accept,
            "seed": self.seed,
            "per_row": self.per_row,
            "checks": [[check.pick, check.is_right, check.found] for check in self.checks],
        }


def lot_from_json(kept: Mapping[str, Any]) -> UniformLot:
    """Return the lot that `to_json` wrote down."""
    return UniformLot(
        lot_id=str(kept["lot"]),
        said=str(kept["said"]),
        count=None if kept["count"] is None else int(kept["count"]),
        share=float(kept["share"]),
        confidence=float(kept["confidence"]),
        accept=int(kept["accept"]),
        seed=int(kept["seed"]),
        per_row=kept.get("per_row"),
        checks=tuple(
            LotCheck(pick=int(pick), is_right=bool(is_right), found=str(found))
            for pick, is_right, found in kept["checks"]
        ),
    )


def start_lot(
    lot_id: str,
    said: str,
    count: int | None,
    *,
    seed: int,
    share: float = USUAL_SHARE,
    confidence: float = USUAL_CONFIDENCE,
    accept: int = 0,
    per_row: int | None = None,
) -> UniformLot:
    """Return a lot of which nothing was checked yet.

    Args:
        lot_id, said: Its name in the ledger, and what it is said to be.
        count: Pieces in it, 1 to 100 000; None for a heap.
        seed: Of the picks.
        share: Share of wrong pieces that must not pass, 0 < share < 1.
        confidence: 0.5 to below 1.
        accept: Acceptance number, 0, 1 or 2.
        per_row: Pieces in a row, >= 1; None counts through.

    Raises:
        ObservationError: A value is outside its range.
    """
    _refuse_impossible(count, share, confidence, per_row)
    lot = UniformLot(
        lot_id=lot_id,
        said=said,
        count=count,
        share=share,
        confidence=confidence,
        accept=accept,
        seed=seed,
        per_row=per_row,
    )
    _ = lot.state  # plan and test refuse what they cannot keep
    return lot


def _refuse_impossible(count: int | None, share: float, confidence: float, per_row: int | None) -> None:
    if count is not None and not 1 <= count <= MOST_PIECES:
        raise ObservationError(f"a lot of {count} pieces: needs 1 to {MOST_PIECES}")
    if not 0.0 < share < 1.0:
        raise ObservationError(f"share of wrong pieces {share:g}: needs more than 0, less than 1")
    if not 0.5 <= confidence < 1.0:
        raise ObservationError(f"confidence {confidence:g}: needs 0.5 to below 1")
    if per_row is not None and per_row < 1:
        raise ObservationError(f"{per_row} pieces in a row: needs at least 1")
