"""A folder that an analyser's software drops readings into: every row is offered once, and none is lost."""

import time
from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from console.ground.cleaning import clean
from console.ground.errors import BaywrightError
from console.readings.csv_rows import PieceReadings, ReadingsFileError, pieces_of_rows
from console.readings.file_text import FileRow, FileRows, rows_of
from console.readings.mapping import ReadingsMapping
from console.readings.taken_rows import TakenRows, TakenRowsError
from grade_library.user_files import UserFileError, read_bytes

SUFFIXES = (".csv", ".tsv", ".txt")
STILL_S = 1.0
"""How long a file must stay as it is before it is read [s]: longer than a writer pauses."""
UNFINISHED_STILL_S = 30.0
"""How long before a last line without an end is taken as it stands [s]; some writers never end it."""
LARGEST_BYTES = 50_000_000
"""A larger file is no readings file: some 300,000 rows."""

Stamp = tuple[int, int]
"""Size [bytes] and change time [ns]."""


class WatchError(BaywrightError):
    """The folder cannot be watched; the message says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchFinding:
    """Something that a person should know of a file in the folder; safe to show."""

    file: str
    text: str
    is_problem: bool = True
    """False for what is only worth knowing."""
    was_told: bool = False
    """An earlier process told it of the same row, or of the file as it is still."""


@dataclass(slots=True)
class _Seen:
    """A file as it was last looked at."""

    stamp: Stamp
    since: float
    """Since when it has been like this, by the clock of the folder [s]."""
    is_settled: bool = False
    """Read to its end; nothing to do until it changes."""


def files_in(folder: Path) -> list[tuple[str, Stamp]]:
    """Return the readings files of a folder with their stamps, the oldest first.

    Raises:
        OSError: The folder cannot be looked into.
    """
    found = []
    for path in folder.iterdir():
        if path.suffix.casefold() in SUFFIXES and not path.name.startswith(".") and path.is_file():
            try:
                stat = path.stat()
            except FileNotFoundError:
                continue  # it was taken away while we looked
            found.append((path.name, (stat.st_size, stat.st_mtime_ns)))
    return sorted(found, key=lambda file: (file[1][1], file[0]))


def content_of(path: Path, stamp: Stamp) -> bytes | None:
    """Return what a file holds; None where it changed while it was read.

    Raises:
        ReadingsFileError: It is too large.
        OSError: It cannot be read.
    """
    if stamp[0] > LARGEST_BYTES:
        raise ReadingsFileError(f"{stamp[0] / 1e6:.0f} MB; at most {LARGEST_BYTES / 1e6:.0f} MB")
    content = read_bytes(path, LARGEST_BYTES)
    after = path.stat()
    is_same = (after.st_size, after.st_mtime_ns) == stamp and len(content) == stamp[0]
    return content if is_same else None


class _Told:
    """What was said of files: by this process, and by those before it."""

    def __init__(self, journal: TakenRows) -> None:
        self._journal = journal
        self._here: set[tuple[str, str]] = set()

    def finding(self, file: str, text: str, about: str, *, is_problem: bool) -> list[WatchFinding]:
        """Return a finding, nothing where this process told it already.

        Args:
            file: The file.
            text: What to say.
            about: Row, or file as it is now: what the journal keeps, so that what nobody mends is no news at
                every start; empty for what is news to every process.
            is_problem: Whether something could not be read.
        """
        if (file, text) in self._here:
            return []
        self._here.add((file, text))
        was_told = (file, about) in self._journal.told
        if about and not was_told:
            with suppress(TakenRowsError):  # a mark that the disk refuses only has it told once more
                self._journal.take(file, (), told=about)
        return [WatchFinding(file=clean(file), text=clean(text), is_problem=is_problem, was_told=was_told)]


class WatchedFolder:
    """Polls one folder. `poll` offers what is new, `taken` marks what was used; nothing else is remembered.

    A row is known by what it says, not by where it stands: a file that grows, is written anew or comes again
    under another name offers only the rows that it did not hold before.
    """

    def __init__(
        self,
        folder: Path,
        mapping: ReadingsMapping,
        journal: TakenRows,
        *,
        is_used: Callable[[str], bool] = lambda row_id: False,
        clock: Callable[[], float] = time.time,
    ) -> None:
        """Watch a folder.

        Args:
            folder: Where files are dropped; they are read and left alone.
            mapping: How they are written.
            journal: What was taken before.
            is_used: Whether a row, by its id, was put to use already. Who keeps the ids with what becomes of
                the rows (the piece in the ledger) can answer this, and no kill makes a row come twice.
                Without an answer a row comes again when the process dies between using it and `taken`.
            clock: Seconds since 1970, as file times are.

        Raises:
            WatchError: There is no such folder.
        """
        if not folder.is_dir():
            raise WatchError(f"There is no folder {folder}. Make it, or name the one that readings go to.")
        self.folder = folder
        self.mapping = mapping
        self.journal = journal
        self.findings: list[WatchFinding] = []
        """What the last poll found out; each thing is told once."""
        self.waiting: dict[str, str] = {}
        """Files that are not read yet or not to their end -> why."""
        self._is_used = is_used
        self._clock = clock
        self._seen: dict[str, _Seen] = {}
        self._offered: dict[str, str] = {}
        self._left: dict[str, tuple[Stamp, set[str]]] = {}
        self._told = _Told(journal)

    def poll(self) -> list[PieceReadings]:
        """Return the readings that are new, by file (oldest first) and piece; offers none twice.

        Rows of one piece that lie in one file become one record; what comes later becomes another record of
        the same piece. What is not handed to `taken` is offered again by the next process.
        """
        self.findings, self.waiting = [], {}
        try:
            files = files_in(self.folder)
        except OSError as error:
            self._tell(".", f"the folder {self.folder} cannot be looked into: {error.strerror}")
            return []
        return [piece for name, stamp in files for piece in self._look_at(name, stamp)]

    def taken(self, pieces: Iterable[PieceReadings]) -> None:
        """Mark readings as used; on disk when this returns.

        Raises:
            TakenRowsError: The disk refused; they will be offered again by the next process.
        """
        for piece in pieces:
            self.take_rows(piece.file, piece.row_ids)

    def take_rows(self, file: str, row_ids: Collection[str], by: str = "") -> None:
        """Mark rows as used, by their ids; on disk when this returns.

        Args:
            file: The file they stand in.
            row_ids: The rows.
            by: The ledger row that used them; empty where no ledger did.

        Raises:
            TakenRowsError: The disk refused.
        """
        stamp, left = self._left.get(file, (None, set()))
        rest = left.difference(row_ids)
        self.journal.take(file, row_ids, done=None if rest else stamp, by=by)
        left.difference_update(row_ids)

    def give_back_rows(self, file: str, row_ids: Collection[str], by: str = "") -> None:
        """Mark rows as not used after all. Not offered anew by this process: who gives back has them at hand.

        Raises:
            TakenRowsError: The disk refused.
        """
        self.journal.give_back(file, row_ids, by=by)
        if file in self._left:
            self._left[file][1].update(row_ids)

    def _look_at(self, name: str, stamp: Stamp) -> list[PieceReadings]:
        """Return what one file has to offer now."""
        now = self._clock()
        seen = self._seen.get(name)
        if seen is None or seen.stamp != stamp or seen.since > now:
            settled = seen is None and self.journal.is_done(name, stamp)
            seen = self._seen[name] = _Seen(stamp=stamp, since=now, is_settled=settled)
        if seen.is_settled or stamp[0] == 0:
            return []
        if now - seen.since < STILL_S:
            self.waiting[name] = "just written"
            return []
        still_s = max(now - seen.since, now - stamp[1] / 1e9)
        take_unfinished = still_s >= UNFINISHED_STILL_S
        try:
            content = content_of(self.folder / name, stamp)
            if content is None:
                self.waiting[name] = "changed while it was read"
                return []
            found = rows_of(content, clean(Path(name).stem), self.mapping, take_unfinished=take_unfinished)
        except OSError as error:
            self._tell(name, f"cannot be read: {error.strerror}")
            return []
        except (ReadingsFileError, UserFileError) as error:
            self._tell(name, str(error))
            seen.is_settled = True  # it is looked at again when it changes
            return []
        if found.is_unfinished:
            self.waiting[name] = "its last line has no end yet"
        elif found.has_open_end:
            self._tell(name, "its last line has no end; taken as it stands", False)
        seen.is_settled = not found.is_unfinished
        return self._offers(name, stamp, found)

    def _offers(self, name: str, stamp: Stamp, found: FileRows) -> list[PieceReadings]:
        """Return the rows that nobody has taken and this process has not offered, as pieces."""
        open_rows = [row for row in found.rows if row.row_id not in self.journal]
        self.journal.take(name, [row.row_id for row in open_rows if self._is_used(row.row_id)])
        new = [r for r in open_rows if r.row_id not in self.journal and r.row_id not in self._offered]
        self._tell_of_copies(name, found.rows)
        good = [row for row in new if self._can_be_read(name, row)]
        self._offered |= dict.fromkeys((row.row_id for row in good), name)
        own = {row.row_id for row in found.rows if self._offered.get(row.row_id) == name}
        left = {row_id for row_id in own if row_id not in self.journal}
        if len(good) == len(new) and not found.is_unfinished:
            self._left[name] = (stamp, left)
            if not left:
                self.journal.take(name, (), done=stamp)
        else:
            self._left.pop(name, None)
        return self._pieces(name, good)

    def _can_be_read(self, name: str, row: FileRow) -> bool:
        """Return whether a row can be read on its own; tell why not."""
        try:
            if row.problem:
                raise ReadingsFileError(f"line {row.line}: {row.problem}")
            list(self._read([row]))
        except ReadingsFileError as error:
            self._tell(name, str(error), of=row.row_id)
            return False
        return True

    def _read(self, rows: Sequence[FileRow]) -> Iterable[PieceReadings]:
        return pieces_of_rows(
            ((row.line, row.cells) for row in rows),
            techniques=self.mapping.techniques,
            technique=self.mapping.technique,
        )

    def _pieces(self, name: str, rows: Sequence[FileRow]) -> list[PieceReadings]:
        """Return rows as pieces that know their file and rows."""
        by_piece: dict[str, list[FileRow]] = {}
        for row in rows:
            by_piece.setdefault(row.cells["piece"], []).append(row)
        return [
            replace(
                piece,
                file=name,
                row_ids=tuple(row.row_id for row in by_piece[piece.piece]),
                shots_at=tuple((row.line, row.row_id) for row in by_piece[piece.piece] if row.has_reading),
            )
            for piece in self._read(rows)
        ]

    def _tell_of_copies(self, name: str, rows: Sequence[FileRow]) -> None:
        """Tell of rows that came in another file before, so that nothing is left out in silence."""
        before = [self.journal.file_of(row.row_id) or self._offered.get(row.row_id) for row in rows]
        others = [file for file in before if file not in (None, name)]
        if others:
            self._tell(
                name, f"{len(others)} of its rows came in {others[0]} before; not offered again", False
            )

    def _tell(self, file: str, text: str, is_problem: bool = True, *, of: str = "") -> None:
        seen = self._seen.get(file)
        about = of or (f"{seen.stamp[0]}.{seen.stamp[1]} {text}" if seen else "")
        self.findings += self._told.finding(file, text, about, is_problem=is_problem)
