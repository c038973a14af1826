"""The checks that a yard can make on a piece, what each costs, and what an hour of the sorter costs."""

from dataclasses import dataclass
from enum import StrEnum


class CheckKind(StrEnum):
    """A check as yard.toml names it."""

    MAGNET = "magnet"
    HEFT = "heft"
    SCRATCH = "scratch"
    FILE = "file"
    CONDUCTIVITY = "conductivity"
    SPARK = "spark"
    WATER = "water"
    """Weighing in air and in water: the density."""
    READING = "reading"
    """A reading of the surface as it lies there."""
    GRIND = "grind"
    """Grinding a spot and reading it."""


READS = frozenset({CheckKind.READING, CheckKind.GRIND})
"""Checks that end in a reading of the analyser."""


@dataclass(frozen=True, slots=True, kw_only=True)
class YardCheck:
    """One check that the yard can make."""

    kind: CheckKind
    seconds: float
    """Time of the sorter that it takes [s], >= 0."""
    cost: float = 0.0
    """What it uses up each time, such as discs [currency], >= 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SorterTime:
    """What time at the bench costs, and how long a piece on hold takes to settle later."""

    cost_per_hour: float = 60.0
    """What an hour at the bench costs [currency], >= 0: wage, analyser, and what waits meanwhile (an invented
    figure; a yard writes its own)."""
    second_look_s: float = 240.0
    """Fetching a held piece, grinding, reading and carrying it to its bay [s] (memory)."""

    def cost_of(self, seconds: float) -> float:
        """Return what that time costs [currency]."""
        return self.cost_per_hour * seconds / 3600.0

    def cost_of_check(self, check: YardCheck) -> float:
        """Return what one check costs, time and material [currency]."""
        return self.cost_of(check.seconds) + check.cost

    @property
    def second_look_cost(self) -> float:
        """What settling a held piece later costs [currency]."""
        return self.cost_of(self.second_look_s)


USUAL_CHECKS = (
    YardCheck(kind=CheckKind.HEFT, seconds=2.0),
    YardCheck(kind=CheckKind.MAGNET, seconds=3.0),
    YardCheck(kind=CheckKind.SCRATCH, seconds=8.0),
    YardCheck(kind=CheckKind.FILE, seconds=12.0),
    YardCheck(kind=CheckKind.SPARK, seconds=25.0, cost=0.02),
    YardCheck(kind=CheckKind.READING, seconds=25.0),
    YardCheck(kind=CheckKind.GRIND, seconds=75.0, cost=0.08),
    YardCheck(kind=CheckKind.WATER, seconds=90.0),
)
"""What a bench usually has, where yard.toml lists no check; times and costs from memory."""
