"""Wald's sequential test: after every piece, accept the lot, refuse it, or check another."""

import math
from dataclasses import dataclass
from enum import StrEnum

from grade_library.errors import ObservationError


class SequentialVerdict(StrEnum):
    """What the pieces checked so far say."""

    ACCEPT = "accept"
    REFUSE = "refuse"
    GO_ON = "go on"
    UNDECIDED = "undecided"
    """As many pieces were checked as the test may take, and neither line was reached."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaldTest:
    """Two parallel lines over (pieces checked, wrong ones found); a lot without end is assumed."""

    good_share: float
    """Share of wrong pieces that should pass, 0 < good_share < bad_share."""
    bad_share: float
    """Share that should not, good_share < bad_share < 1."""
    alpha: float = 0.05
    """Risk of refusing a good lot, 0 < alpha < 1."""
    beta: float = 0.10
    """Risk of accepting a bad lot, 0 < beta < 1 - alpha."""
    most: int | None = None
    """Pieces after which an undecided test ends; None never."""

    def __post_init__(self) -> None:
        if not 0.0 < self.good_share < self.bad_share < 1.0:
            raise ObservationError(
                f"shares of wrong pieces {self.good_share:g} and {self.bad_share:g}: need 0 < good < bad < 1"
            )
        if not (0.0 < self.alpha < 1.0 and 0.0 < self.beta < 1.0 - self.alpha):
            raise ObservationError(
                f"risks {self.alpha:g} and {self.beta:g}: need values above 0 with a sum below 1"
            )

    @property
    def slope(self) -> float:
        """Wrong pieces per piece checked along both lines."""
        return math.log((1.0 - self.good_share) / (1.0 - self.bad_share)) / self._unit

    @property
    def accept_at(self) -> float:
        """Wrong pieces on the accepting line before any was checked, < 0."""
        return -math.log((1.0 - self.alpha) / self.beta) / self._unit

    @property
    def refuse_at(self) -> float:
        """Wrong pieces on the refusing line before any was checked, > 0."""
        return math.log((1.0 - self.beta) / self.alpha) / self._unit

    @property
    def _unit(self) -> float:
        good, bad = self.good_share, self.bad_share
        return math.log(bad * (1.0 - good) / (good * (1.0 - bad)))

    def verdict(self, checked: int, found: int) -> SequentialVerdict:
        """Return what follows from so many wrong pieces among those checked.

        Source: Wald, Ann. Math. Statist. 16 (1945) 117; the lines as in the NIST/SEMATECH handbook, 6.2.6.

        >>> test = WaldTest(good_share=0.01, bad_share=0.10)
        >>> test.verdict(23, 0).value, test.verdict(24, 0).value, test.verdict(19, 2).value
        ('go on', 'accept', 'refuse')
        """
        if not 0 <= found <= checked:
            raise ObservationError(f"{found} wrong pieces among {checked} checked")
        if found >= self.refuse_at + self.slope * checked:
            return SequentialVerdict.REFUSE
        if found <= self.accept_at + self.slope * checked:
            return SequentialVerdict.ACCEPT
        if self.most is not None and checked >= self.most:
            return SequentialVerdict.UNDECIDED
        return SequentialVerdict.GO_ON

    def needed(self, found: int) -> int:
        """Return how many pieces have to be checked in all to accept with so many wrong ones."""
        return math.ceil((found - self.accept_at) / self.slope - 1e-12)
