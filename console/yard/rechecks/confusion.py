"""How often the first call was right, by sort class, with its interval."""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist

CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Recheck:
    """One piece that was checked again."""

    person: str
    """Who placed it first."""
    placed: str
    """Code of the bay where it was put."""
    found: str
    """Code of the bay where it belongs by the second look; the same where that bay's buyer takes it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RightShare:
    """How many of some pieces were right."""

    right: int
    checked: int
    low: float
    """Wilson interval, 0..1."""
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Confusion:
    """Where pieces were put against where they belong."""

    classes: tuple[str, ...]
    """Bays, in the order of yard.toml; others after them."""
    counts: tuple[tuple[int, ...], ...]
    """Row: where it was put; column: where it belongs."""
    by_class: tuple[RightShare, ...]
    """Of what was put into each class, how much belongs there."""
    overall: RightShare


def confusion_of(rechecks: Iterable[Recheck], order: Sequence[str]) -> Confusion:
    """Return the confusion matrix of pieces that were checked again.

    Args:
        rechecks: Any number.
        order: Codes of the yard's bays.
    """
    counted = Counter((one.placed, one.found) for one in rechecks)
    met = {code for pair in counted for code in pair}
    classes = (*(code for code in order if code in met), *sorted(met - set(order)))
    counts = tuple(tuple(counted[placed, found] for found in classes) for placed in classes)
    right = [row[place] for place, row in enumerate(counts)]
    return Confusion(
        classes=classes,
        counts=counts,
        by_class=tuple(wilson(r, sum(row)) for r, row in zip(right, counts, strict=True)),
        overall=wilson(sum(right), sum(map(sum, counts))),
    )


def wilson(right: int, checked: int, confidence: float = CONFIDENCE) -> RightShare:
    """Return a share with the interval that fits it; 0 to 1 where nothing was checked.

    Args:
        right: 0..checked.
        checked: 0 and more.
        confidence: Two-sided, above 0 and below 1.

    Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212 (memory); held against scipy.stats.

    >>> wilson(9, 10).low < 0.9 < wilson(9, 10).high
    True
    """
    if checked == 0:
        return RightShare(right=0, checked=0, low=0.0, high=1.0)
    z = NormalDist().inv_cdf(0.5 + confidence / 2.0)
    share, more = right / checked, z * z / checked
    middle = (share + more / 2.0) / (1.0 + more)
    half = z / (1.0 + more) * math.sqrt(share * (1.0 - share) / checked + more / (4.0 * checked))
    low = 0.0 if right == 0 else max(0.0, middle - half)
    high = 1.0 if right == checked else min(1.0, middle + half)
    return RightShare(right=right, checked=checked, low=low, high=high)
