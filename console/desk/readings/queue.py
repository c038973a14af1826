"""Readings from files that no piece holds, in the order they came, as the ledger tells it."""

from collections.abc import Iterable, Sequence

from console.desk.readings.offered import OfferedReading, from_json, offered
from console.desk.run_pages import newest_seq
from console.ledger.keeping.store import Ledger
from console.ledger.rows.reading_rows import reading_acts, rows_of
from console.readings.csv_rows import PieceReadings
from console.yard.yard import Yard

Together = tuple[OfferedReading, ...]
"""Readings of one piece by one technique, in the order they came; they go onto the line as one."""


class ReadingQueue:
    """What waits. A reading waits while no piece, and no note that sets it aside, holds its rows.

    Undo, redo, a void in the review and a correction are all followed by their rows, none by itself.
    """

    def __init__(self, ledger: Ledger, yard: Yard) -> None:
        self.waiting: list[OfferedReading] = []
        self.seen = newest_seq(ledger)
        """The newest row of the ledger that was followed."""
        self._ledger = ledger
        self._yard = yard
        self._cores: dict[tuple[str, ...], str] = {}

    def add(self, pieces: Iterable[PieceReadings]) -> None:
        """Take in what the reader found, in its order."""
        self.put([reading for piece in pieces for reading in offered(piece)])

    def put(self, readings: Sequence[OfferedReading], *, first: bool = False) -> None:
        """Let readings wait that do not yet; before all others or behind them."""
        here = {row_id for one in self.waiting for row_id in one.row_ids}
        new = [one for one in readings if here.isdisjoint(one.row_ids)]
        self.waiting = [*new, *self.waiting] if first else [*self.waiting, *new]

    def core_of(self, reading: OfferedReading) -> str:
        """Return the core of a reading, made once: it is asked for at every key."""
        core = self._cores.get(reading.row_ids)
        if core is None:
            core = self._cores[reading.row_ids] = reading.core
        return core

    def catch_up(self) -> set[str]:
        """Follow what the ledger says since the last look; return the rows of files that acts took meanwhile.

        Not while an act is half-way: it may be undone.
        """
        taken: set[str] = set()
        if self._ledger.connection.in_transaction:
            return taken
        newest = newest_seq(self._ledger)
        for act in reading_acts(self._ledger, self.seen, newest) if newest != self.seen else ():
            if act.is_taken:
                rows = rows_of(act.readings)
                self.waiting = [one for one in self.waiting if not rows.issuperset(one.row_ids)]
                taken |= rows
            else:
                # They came before all that waits: the sorter has just had them in hand.
                self.put([from_json(reading, self._yard) for reading in act.readings], first=True)
        self.seen = newest
        return taken
