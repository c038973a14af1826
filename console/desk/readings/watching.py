"""Looks into the folder that readings are dropped into, and keeps its journal in step with the ledger."""

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from console.desk.run_pages import newest_seq
from console.ground.cleaning import clean
from console.ground.errors import BaywrightError
from console.ledger.rows.errors import StoreError
from console.ledger.rows.queries import LedgerReader, row_by_id, rows_where
from console.ledger.rows.reading_rows import ReadingAct, reading_acts
from console.readings.csv_rows import PieceReadings
from console.readings.files import WatchedFolder, WatchFinding
from console.readings.taken_rows import JOURNAL_FILE, TakenRows, TakenRowsError
from console.yard.yard import Yard

NOTE_AFTER_ROWS = 1000
"""So many rows of the ledger without a mark, and the journal notes how far it has read: the next start reads
on from there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What one look into the folder brought."""

    pieces: tuple[PieceReadings, ...] = ()
    """New readings, in the order they came."""
    findings: tuple[WatchFinding, ...] = ()
    """What a person should know of single files; each is told once."""
    trouble: str = ""
    """Why nothing can be read now, in a sentence; empty while all is well."""
    waiting: tuple[tuple[str, str], ...] = ()
    """Files that are not read to their end, and why."""


class _NoLookError(BaywrightError):
    """Nothing can be read now; the message says why."""


class FolderWatch:
    """The folder of [readings_files], looked into from a thread; touches neither the desk nor the writer.

    A reading goes into the ledger with its piece, in one transaction. The journal only follows: each look
    first marks what the ledger took, and gives back what was voided, since the last mark. So a kill between
    tally and mark costs nothing: the next look, by whatever process, finds the ledger ahead and marks it
    before any file is opened.
    """

    def __init__(self, yard: Yard, store: Path, *, clock: Callable[[], float] = time.time) -> None:
        """Watch for a yard; nothing is opened before the first look.

        Args:
            yard: Names a folder under [readings_files].
            store: The yard's store.
            clock: Seconds since 1970, as file times are.
        """
        assert yard.readings_files.folder, "the yard names no folder"
        self.folder = yard.folder / yard.readings_files.folder
        self.last = Look()
        """What the newest look brought."""
        self.findings: list[WatchFinding] = []
        """Everything that was found out about files in this sitting."""
        self._yard = yard
        self._store = store
        self._clock = clock
        self._journal: TakenRows | None = None
        self._watched: WatchedFolder | None = None
        self._seen: int | None = None
        """The newest row of the ledger that the journal has followed; None before the first look."""
        self._marked = 0
        """The newest of them that the journal on disk names, or where the last note was."""
        self._one_look = threading.Lock()
        self._is_closed = False

    def look(self) -> Look:
        """Return what is new. Slow where the folder lies on a slow disk; for a thread, one at a time."""
        with self._until_closed() as is_open:
            if not is_open:
                return Look()
            try:
                self.last = self._look()
            except _NoLookError as reason:
                self.last = Look(trouble=clean(str(reason)))
            except (StoreError, TakenRowsError) as error:
                self.last = Look(trouble=clean(f"Readings from files are not taken in. {error}"))
            self.findings += self.last.findings
            return self.last

    def close(self) -> None:
        """Let another process watch; a look that still goes on is not waited for, and lets go at its end."""
        self._is_closed = True
        if self._one_look.acquire(blocking=False):
            try:
                self._let_go()
            finally:
                self._one_look.release()

    @contextmanager
    def _until_closed(self) -> Iterator[bool]:
        """Give whether the watch is open; let go at the end where it was closed meanwhile."""
        with self._one_look:
            try:
                yield not self._is_closed
            finally:
                if self._is_closed:
                    self._let_go()
        # Closed between the test above and the release of the lock: `close` found it taken and went away.
        if self._is_closed:
            self.close()

    def _let_go(self) -> None:
        if self._journal is not None:
            self._journal.close()
            self._journal = self._watched = None

    def _look(self) -> Look:
        """Bring journal and ledger in step, then look into the folder."""
        if self._journal is None:
            self._journal = TakenRows.open(self._yard.folder / JOURNAL_FILE)
        self._follow_ledger(self._journal)
        watched = self._folder_at_hand(self._journal)
        pieces = watched.poll()
        findings = tuple(watched.findings)
        return Look(pieces=tuple(pieces), findings=findings, waiting=tuple(watched.waiting.items()))

    def _folder_at_hand(self, journal: TakenRows) -> WatchedFolder:
        """Return the folder, ready to be read.

        Raises:
            _NoLookError: It is not there or cannot be read.
        """
        try:
            next(self.folder.iterdir(), None)
        except (FileNotFoundError, NotADirectoryError):
            raise _NoLookError(
                f"There is no folder {self.folder} for readings. Make it, or correct folder under "
                "[readings_files] in yard.toml; it is looked for all the time."
            ) from None
        except OSError as error:
            raise _NoLookError(
                f"The folder {self.folder} for readings cannot be read: {error.strerror}. It is tried again "
                "all the time."
            ) from error
        if self._watched is None:
            self._watched = WatchedFolder(self.folder, self._yard.readings_files, journal, clock=self._clock)
        return self._watched

    def _follow_ledger(self, journal: TakenRows) -> None:
        """Mark what the ledger took or gave back since the last look.

        Raises:
            StoreError: The store cannot be read.
            TakenRowsError: The disk refused a mark; the next look tries it again.
        """
        with LedgerReader.open(self._store) as reader:
            newest = newest_seq(reader)
            if self._seen is None:
                self._marked = self._seen = self._row_noted(reader, journal)
            if newest == self._seen:
                return
            for act in reading_acts(reader, self._seen, newest):
                self._mark(journal, act)
                self._marked = newest
            if newest - self._marked >= NOTE_AFTER_ROWS:
                journal.take("", (), by=rows_where(reader, "seq = ?", (newest,))[0].row_id)
                self._marked = newest
        self._seen = newest

    def _row_noted(self, reader: LedgerReader, journal: TakenRows) -> int:
        """Return the number of the ledger row up to which the journal has followed; 0 where it has not."""
        if not journal.noted:
            return 0
        row = row_by_id(reader, journal.noted)
        if row is not None:
            return row.seq
        # The store was put back to an older state: what newer rows had taken is to be offered again.
        journal.give_back_noted()
        return 0

    def _mark(self, journal: TakenRows, act: ReadingAct) -> None:
        for reading in act.readings:
            file, row_ids = str(reading["file"]), [str(row_id) for row_id in reading["rows"]]
            if self._watched is not None and act.is_taken:
                self._watched.take_rows(file, row_ids, by=act.row_id)
            elif self._watched is not None:
                self._watched.give_back_rows(file, row_ids, by=act.row_id)
            elif act.is_taken:
                journal.take(file, row_ids, by=act.row_id)
            else:
                journal.give_back(file, row_ids, by=act.row_id)
