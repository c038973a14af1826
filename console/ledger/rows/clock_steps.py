"""The clock of the computer: whether it was set while a run was worked, and when a row was written then."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from console.ledger.rows.connection import Readable
from console.ledger.rows.row_text import time_of

STEP = timedelta(minutes=2)
"""A clock that is set by more than this is told (the yard's own wish); time servers nudge by less."""
CANNOT_BE = timedelta(days=366)
"""No run rests for so long; where it seems to, the clock was set."""
EARLIEST_YEAR, LATEST_YEAR = 2020, 2090
"""Years in which a clock can be right; others are those of computers that lost theirs."""


class ClockWatch:
    """Compares the clock with the seconds that passed, act by act."""

    def __init__(self, newest: datetime | None, elapsed: Callable[[], float] | None) -> None:
        """Begin to watch.

        Args:
            newest: Time of the newest row; None for an empty store.
            elapsed: Seconds that pass whatever is done to the clock; None sees steps back only.
        """
        self._newest = newest
        self._elapsed = elapsed
        self._at_newest: float | None = None

    def step(self, at: datetime) -> timedelta:
        """Return by how much the clock was set since the act before; nothing where by little or not."""
        before, then = self._newest, self._at_newest
        self._newest, self._at_newest = at, self._elapsed() if self._elapsed else None
        if before is None:
            return timedelta()
        if then is not None and self._at_newest is not None:
            step = (at - before) - timedelta(seconds=self._at_newest - then)
        else:
            step = at - before if at < before or at - before > CANNOT_BE else timedelta()
        return step if abs(step) > STEP else timedelta()


def step_text(step: timedelta) -> str:
    """Return a step of the clock in words.

    >>> step_text(timedelta(minutes=-62)), step_text(timedelta(days=26000))
    ('back by 1 h 02 min', 'forward by 26000 days')
    """
    way, size = ("back", -step) if step < timedelta() else ("forward", step)
    if size >= timedelta(days=2):
        return f"{way} by {size.days} days"
    hours, minutes = divmod(round(size.total_seconds() / 60.0), 60)
    return f"{way} by {hours} h {minutes:02d} min" if hours else f"{way} by {minutes} min"


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockOfRun:
    """How the clock was set in one run: from row number on, by so much in all."""

    steps: tuple[tuple[int, timedelta], ...]
    right: timedelta
    """The sum of the steps at which the clock showed the right time."""

    def corrected(self, seq: int, at: datetime) -> datetime:
        """Return when a row was written, in the order of the run."""
        gone = max((one for one in self.steps if one[0] <= seq), default=(0, timedelta()))[1]
        return at - (gone - self.right)


def clocks_set(source: Readable) -> dict[str, ClockOfRun]:
    """Return the runs in which the clock was set, by their ids; seldom any."""
    rows = source.connection.execute(
        "SELECT run_id, seq, at_utc, json_extract(body, '$.step_s') FROM ledger WHERE seq IN "
        "(SELECT seq FROM ledger INDEXED BY ledger_by_run WHERE kind = 'clock') ORDER BY seq"
    )
    by_run: dict[str, list[tuple[int, datetime, timedelta]]] = {}
    for run_id, seq, at, step_s in rows:
        by_run.setdefault(run_id, []).append((seq, time_of(at), timedelta(seconds=float(step_s))))
    return {run_id: _clock(steps) for run_id, steps in by_run.items()}


def _clock(steps: Sequence[tuple[int, datetime, timedelta]]) -> ClockOfRun:
    gone, sums = timedelta(), []
    for seq, _, step in steps:
        gone += step
        sums.append((seq, gone))
    after = [(one[1], two[1]) for one, two in zip(steps, sums, strict=True)]
    shown = [(steps[0][1] - steps[0][2], timedelta()), *after]
    right = next((gone for at, gone in shown if EARLIEST_YEAR <= at.year <= LATEST_YEAR), timedelta())
    return ClockOfRun(steps=tuple(sums), right=right)


def impossible_dates(source: Readable, now: datetime) -> Iterator[tuple[str, int]]:
    """Yield year and number of the pieces whose date cannot be: no report by dates holds them.

    Pieces of runs in which the clock was set, and was right at some time, are reckoned right and not counted.
    """
    clocks = clocks_set(source)
    counted: dict[str, int] = {}
    rows = source.connection.execute(
        "SELECT run_id, seq, at_utc FROM ledger WHERE kind = 'piece' AND (at_utc < ? OR at_utc > ?)",
        (str(EARLIEST_YEAR), (now + timedelta(days=1)).isoformat()),
    )
    for run_id, seq, at in rows:
        clock = clocks.get(run_id)
        when = clock.corrected(seq, time_of(at)) if clock else time_of(at)
        if when.year < EARLIEST_YEAR or when > now + timedelta(days=1):
            counted[str(when.year)] = counted.get(str(when.year), 0) + 1
    yield from sorted(counted.items())
