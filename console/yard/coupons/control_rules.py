"""When a series of check shots says that something is wrong: rules, and limits from its own scatter."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from statistics import fmean

BEYOND = 3.0
"""Distance [σ] that one point alone may not pass (Shewhart)."""
NEAR = 2.0
"""Distance [σ] that two of three points on one side may not pass (NIST/SEMATECH e-Handbook, 6.3.2)."""
RUN = 8
"""Points running on one side that are no chance any more (NIST/SEMATECH e-Handbook, 6.3.2)."""
LOOK_BACK = RUN
"""How many points, the last one among them, any rule looks at."""
D2_OF_TWO = 1.128
"""Mean range of two normal values [σ] (NIST/SEMATECH e-Handbook, 6.3.2.2)."""


class Rule(StrEnum):
    """One way for a series to be out of control."""

    BEYOND_THREE = "one beyond 3σ"
    TWO_OF_THREE = "two of three beyond 2σ on one side"
    EIGHT_RUNNING = "eight running on one side"


def signals(z: Sequence[float]) -> tuple[Rule, ...]:
    """Return the rules that the last point of a series breaks; empty when it breaks none.

    A rule speaks only when the last point is part of what it objects to, so that a good shot after cleaning
    ends the alarm.

    Args:
        z: Distances from the known value in standard uncertainties, oldest first.

    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2 (three of the rules named there).

    >>> signals([0.1, 2.4, -0.3, 2.1])
    (<Rule.TWO_OF_THREE: 'two of three beyond 2σ on one side'>,)
    """
    return tuple(rule for rule in Rule if _objects(rule, z))


def _objects(rule: Rule, z: Sequence[float]) -> bool:
    if not z:
        return False
    side = 1.0 if z[-1] > 0 else -1.0
    on_side = [side * value for value in z[-LOOK_BACK:]]
    match rule:
        case Rule.BEYOND_THREE:
            return on_side[-1] > BEYOND
        case Rule.TWO_OF_THREE:
            return on_side[-1] > NEAR and sum(value > NEAR for value in on_side[-3:]) >= 2
        case Rule.EIGHT_RUNNING:
            return len(on_side) >= RUN and all(value > 0 for value in on_side[-RUN:])


def signal_size(z: Sequence[float], rules: Sequence[Rule]) -> float:
    """Return how far off the points lie that broke the rules [σ], signed; the largest of several rules.

    One point for a point beyond 3σ, the mean of the two far ones of three, the mean of eight for a run; 0.0
    where no rule was broken.

    >>> round(signal_size([0.1, 2.4, -0.3, 2.1], [Rule.TWO_OF_THREE]), 2)
    2.25
    """
    if not rules:
        return 0.0
    side = 1.0 if z[-1] > 0 else -1.0
    sizes = {
        Rule.BEYOND_THREE: lambda: abs(z[-1]),
        Rule.TWO_OF_THREE: lambda: fmean(side * value for value in z[-3:] if side * value > NEAR),
        Rule.EIGHT_RUNNING: lambda: abs(fmean(z[-RUN:])),
    }
    return side * max(sizes[rule]() for rule in rules)


@dataclass(frozen=True, slots=True, kw_only=True)
class IndividualsChart:
    """Centre and limits of a series of single values, reckoned from its own scatter; unit of the values."""

    mean: float
    mean_moving_range: float
    """Mean absolute difference of neighbours."""

    @property
    def sigma(self) -> float:
        """Scatter from shot to shot, as a standard deviation."""
        return self.mean_moving_range / D2_OF_TWO

    @property
    def upper(self) -> float:
        """Upper control limit."""
        return self.mean + BEYOND * self.sigma

    @property
    def lower(self) -> float:
        """Lower control limit."""
        return self.mean - BEYOND * self.sigma


def individuals_chart(values: Sequence[float]) -> IndividualsChart:
    """Return centre and limits of an individuals chart.

    Args:
        values: At least two, in the order taken.

    Raises:
        ValueError: There are fewer than two.

    Valid: independent values of a steady process; the limits themselves scatter much below 20 values.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2: mean ± 3 · (mean moving range) / 1.128.

    >>> round(individuals_chart([10.0, 10.2, 9.9, 10.1]).upper, 3)
    10.671
    """
    if len(values) < 2:
        raise ValueError(f"{len(values)} value(s): a moving range needs at least 2")
    return IndividualsChart(
        mean=fmean(values), mean_moving_range=fmean(abs(b - a) for a, b in pairwise(values))
    )
