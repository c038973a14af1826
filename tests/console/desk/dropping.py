"""A yard with a desk, a folder for readings, and a clock that passes when the test says so."""

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from console.desk import Desk
from console.desk.readings.watching import FolderWatch, Look
from console.ledger.rows.reading import rows_where
from console.ledger.rows.reading_rows import READINGS
from console.ledger.rows.rows import RowKind

HEADER = "piece,Cr,Ni,ground\n"


class Bench:
    """A desk that watches a folder; can be started anew as after a quit or a kill."""

    def __init__(self, yard: Path, now: Callable[[], datetime]) -> None:
        self.yard, self._now = yard, now
        self.seconds = 2_000_000_000.0
        self.folder = yard / "readings"
        self.journal_file = yard / "readings-taken.jsonl"
        self.start()

    def start(self, *, go_on: bool = False) -> None:
        self.desk = Desk.open(self.yard, now=self._now, go_on=go_on)
        self.watch = FolderWatch(self.desk.yard, self.desk.ledger.path, clock=lambda: self.seconds)
        self.desk.readings.watch = self.watch

    def restart(self) -> None:
        self.desk.close()
        self.start()

    def drop(self, content: str, name: str = "a.csv") -> None:
        path = self.folder / name
        path.write_text(content, encoding="utf-8")
        os.utime(path, (self.seconds, self.seconds))

    def look(self) -> Look:
        """Look twice, as far apart as a file must be still, and take in what came."""
        first = self.watch.look()
        self.seconds += 2
        second = self.watch.look()
        self.desk.readings.add([*first.pieces, *second.pieces])
        return second

    def waiting(self) -> list[str]:
        """Return the pieces that wait, as the file calls them."""
        self.look()
        return [one[0].piece for one in self.desk.readings.waiting()]

    def put(self, line: str = "") -> str:
        """Press the key on a line; return the line as it is then."""
        return self.desk.readings.next_onto(self.desk.consider(line))

    def tally(self, weight: str = "2") -> None:
        """Put the next reading behind a weight, and tally."""
        self.desk.tally(self.desk.consider(self.put(weight)))

    def in_ledger(self) -> list[str]:
        """Return the pieces whose readings pieces of the ledger hold that stand, as the file calls them."""
        standing = {piece.row_id for piece in self.desk.review.pieces() if not piece.is_void}
        rows = rows_where(self.desk.ledger, "kind = ?", (RowKind.PIECE.value,))
        held = [row.body.get(READINGS, []) for row in rows if row.row_id in standing]
        return [reading["piece"] for readings in held for reading in readings]
