"""Blends of metal: what a pile is made of, how sure that is, and how much more it can take."""

import math
from dataclasses import dataclass

import numpy as np

from grade_library.normal import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend:
    """One element of a blend [wt %]."""

    wt_pct: float
    sigma: float
    """Standard uncertainty [wt %]."""
    common: float = 0.0
    """Part of it that other blends of the yard share, so that pooling does not average it away [wt %]."""

    @property
    def own(self) -> float:
        """The part of the standard uncertainty that is independent of other blends [wt %]."""
        return math.sqrt(max(0.0, self.sigma**2 - self.common**2))


def room_below(mass: float, content: Blend, most: float, added: Blend, coverage: float) -> float:
    """Return how much metal can be added before an element passes its limit, at the coverage asked.

    The blend with x of the added metal keeps `C(x) + k·u(C(x)) <= most`; the added metal is taken as one
    melt, so its own uncertainty is not averaged away.

    Args:
        mass: Of the pile, any unit, >= 0.
        content: The element in the pile.
        most: Upper limit [wt %].
        added: The element in the added metal.
        coverage: k, the one-sided factor of the confidence asked: 1.645 for 95 %.

    Returns:
        Mass in the same unit; 0 where none can be added, inf where the metal never brings it over the limit.

    Source: solution of the quadratic in x that the condition is once both sides are squared.

    >>> round(room_below(1000.0, Blend(wt_pct=0.25, sigma=0.0), 0.40, Blend(wt_pct=4.4, sigma=0.0), 0.0), 1)
    37.5
    """
    spare = mass * (most - content.wt_pct)
    gain = most - added.wt_pct
    own, other = coverage * mass * content.sigma, coverage * added.sigma
    # Condition: spare + gain·x >= sqrt(own² + (other·x)²).
    if spare < own and not (gain > other and mass > 0.0):
        return 0.0
    if gain >= other:
        return math.inf if spare >= own or gain > other else 0.0
    if mass == 0.0:
        return 0.0
    a, b, c = gain**2 - other**2, 2.0 * spare * gain, spare**2 - own**2
    if abs(a) < 1e-15:
        return max(-c / b, 0.0) if b < 0.0 else math.inf
    root = math.sqrt(max(b * b - 4.0 * a * c, 0.0))
    candidates = [x for x in ((-b - root) / (2.0 * a), (-b + root) / (2.0 * a)) if x >= 0.0]
    allowed = [x for x in candidates if spare + gain * x >= -1e-9 * (1.0 + abs(spare))]
    return min(allowed, default=0.0)


def room_above(mass: float, content: Blend, least: float, added: Blend, coverage: float) -> float:
    """Return how much metal can be added before an element falls below its least content; as `room_below`."""
    mirrored = Blend(wt_pct=-content.wt_pct, sigma=content.sigma)
    return room_below(mass, mirrored, -least, Blend(wt_pct=-added.wt_pct, sigma=added.sigma), coverage)


def step_moments(
    low: FloatArray, mid: FloatArray, high: FloatArray, low_share: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return mean and standard deviation of melts spread evenly over [low, mid] and [mid, high].

    Args:
        low, mid, high: Edges [wt %], any one shape.
        low_share: Share of the melts in the lower step, 0..1.
    """
    first, second = 0.5 * (low + mid), 0.5 * (mid + high)
    mean = low_share * first + (1.0 - low_share) * second
    within = (low_share * (mid - low) ** 2 + (1.0 - low_share) * (high - mid) ** 2) / 12.0
    between = low_share * (1.0 - low_share) * (second - first) ** 2
    return mean, np.sqrt(within + between)
