"""What one grade asks of each element, and what was read of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from grade_library.grade import Grade
    from grade_library.reading import Averaged

CLEARLY = 2.0
"""A value counts as outside when its limit lies further off than this many standard uncertainties."""
LEAST_RESIDUAL = 0.05
"""Of an element that the grade does not name, less is not worth a row [wt %]."""


class Stands(StrEnum):
    """How a value stands to its limit, in the word that is shown."""

    INSIDE = "inside"
    AT_EDGE = "at edge"
    """Beyond the limit by no more than the reading may err."""
    OUTSIDE = "OUTSIDE"
    NOT_NAMED = "stray"
    """The grade says nothing of the element."""
    NOT_READ = "not read"


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """One element of one grade."""

    symbol: str
    low: float
    """Least [wt %]; 0 where none is stated."""
    high: float
    """Most [wt %]; 100 where none is stated."""
    is_rest: bool = False
    """low and high are what the other limits leave."""
    value: float | None = None
    """As read [wt %]; None when it was not."""
    sigma: float = 0.0
    """Standard uncertainty of the value [wt %]."""
    below: float | None = None
    """Detection limit [wt %], where the element was looked for and not found."""
    is_named: bool = True

    @property
    def stands(self) -> Stands:
        """How the value stands to the limits."""
        if self.below is not None:
            return Stands.OUTSIDE if self.below < self.low else Stands.INSIDE
        if self.value is None:
            return Stands.NOT_READ
        if not self.is_named and self.high >= 100.0:
            return Stands.NOT_NAMED
        over = max(self.value - self.high, self.low - self.value)
        if over <= 0.0:
            return Stands.INSIDE
        return Stands.OUTSIDE if over > CLEARLY * self.sigma else Stands.AT_EDGE


def limit_rows(grade: "Grade", readings: "Sequence[Averaged]") -> tuple[LimitRow, ...]:
    """Return a row for every limit of the grade, the largest first, then for what it does not name."""
    values: dict[str, tuple[float, float]] = {}
    below: dict[str, float] = {}
    for reading in readings:
        mine = reading.values.keys() - reading.elsewhere
        values |= {symbol: (reading.values[symbol], reading.sigma[symbol]) for symbol in mine}
        below |= reading.below
    rows = [_named(grade, symbol, values, below) for symbol in grade.limits]
    rows.sort(key=lambda row: (row.is_rest, -(row.low + min(row.high, 100.0)), row.symbol))
    stray = sorted(values.keys() - grade.limits.keys(), key=lambda symbol: -values[symbol][0])
    rows += [
        LimitRow(
            symbol=symbol,
            low=0.0,
            high=100.0 if grade.others_each is None else grade.others_each,
            value=values[symbol][0],
            sigma=values[symbol][1],
            is_named=False,
        )
        for symbol in stray
        if values[symbol][0] >= LEAST_RESIDUAL
    ]
    return tuple(rows)


def most_telling(rows: Sequence[LimitRow], room: int) -> tuple[LimitRow, ...]:
    """Return so many rows as there is room for, in their order: outside ones before read, before unread."""
    if len(rows) <= room:
        return tuple(rows)
    rank = {Stands.OUTSIDE: 0, Stands.AT_EDGE: 1, Stands.INSIDE: 2, Stands.NOT_NAMED: 3, Stands.NOT_READ: 4}
    kept = sorted(range(len(rows)), key=lambda index: (rank[rows[index].stands], index))[: max(0, room)]
    return tuple(rows[index] for index in sorted(kept))


def _named(
    grade: "Grade",
    symbol: str,
    values: Mapping[str, tuple[float, float]],
    below: Mapping[str, float],
) -> LimitRow:
    limit = grade.limits[symbol]
    low, high = limit.low, limit.high
    is_left = limit.is_rest and low is None and high is None
    if is_left:
        others = [one for name, one in grade.limits.items() if name != symbol]
        most = sum(0.0 if one.high is None else one.high for one in others)
        low, high = max(0.0, 100.0 - most), 100.0 - sum(one.low or 0.0 for one in others)
    value, sigma = values.get(symbol, (None, 0.0))
    return LimitRow(
        symbol=symbol,
        low=0.0 if low is None else low,
        high=100.0 if high is None else high,
        is_rest=is_left,
        value=value,
        sigma=sigma,
        below=below.get(symbol) if value is None else None,
    )
