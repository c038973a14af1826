"""Readings from files that no piece holds, in the order they came, as the ledger tells it."""

from collections.abc import Iterable, Sequence

from console.desk.offered import OfferedReading, as_json, from_json, offered, text_of
from console.desk.run_pages import newest_seq
from console.ledger.keeping.store import Ledger
from console.ledger.rows.reading_rows import ReadingAct, reading_acts, rows_of
from console.readings.csv_rows import PieceReadings
from console.yard.yard import Yard

Together = tuple[OfferedReading, ...]
"""Readings of one piece by one technique, in the order they came; they go onto the line as one."""


class ReadingQueue:
    """What waits. A reading waits while no piece, and no note that sets it aside, holds its rows.

    Undo, redo, a void in the review and a correction are all followed by their rows, none by itself.
    """

    def __init__(self, ledger: Ledger, yard: Yard) -> None:
        self._ledger = ledger
        self._yard = yard
        self._waiting: list[OfferedReading] = []
        self._seen = newest_seq(ledger)

    def add(self, pieces: Iterable[PieceReadings]) -> None:
        """Take in what the reader found, in its order."""
        self._queue([reading for piece in pieces for reading in offered(piece)])

    def catch_up(self) -> None:
        """Follow what the ledger says since the last look. Not while an act is half-way: it may be undone."""
        if self._ledger.connection.in_transaction:
            return
        newest = newest_seq(self._ledger)
        for act in reading_acts(self._ledger, self._seen, newest) if newest != self._seen else ():
            self._follow_act(act)
        self._seen = newest

    def text(self, readings: Sequence[OfferedReading]) -> str:
        """Return readings of one piece as the line has them."""
        return text_of(readings, self._yard.technique)

    def kept_form(self, readings: Sequence[OfferedReading]) -> tuple[dict[str, object], ...]:
        """Return readings as the ledger keeps them."""
        return tuple(as_json(reading, self._yard.technique) for reading in readings)

    def _queue(self, readings: Sequence[OfferedReading], *, first: bool = False) -> None:
        """Let readings wait that do not yet."""
        here = {row_id for one in self._waiting for row_id in one.row_ids}
        new = [one for one in readings if here.isdisjoint(one.row_ids)]
        self._waiting = [*new, *self._waiting] if first else [*self._waiting, *new]

    def _follow_act(self, act: ReadingAct) -> None:
        if act.is_taken:
            rows = rows_of(act.readings)
            self._waiting = [one for one in self._waiting if not rows.issuperset(one.row_ids)]
        else:
            # They came before all that waits: the sorter has just had them in hand.
            self._queue([from_json(reading, self._yard) for reading in act.readings], first=True)
