"""Which rows of readings files were taken already: a journal on disk that outlives the process."""

import contextlib
import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from console.ground.durable import onto_disk
from console.ground.errors import BaywrightError
from grade_library.user_files import UserFileError, read_bytes

if TYPE_CHECKING:
    from filelock import BaseFileLock

MOST_BYTES = 500_000_000
"""Some two million readings taken."""
JOURNAL_FILE = "readings-taken.jsonl"
"""Name of the journal in the yard's folder."""


class TakenRowsError(BaywrightError):
    """The journal cannot be read, written or had alone; the message says what would be right."""


class TakenRows:
    """The rows that somebody has taken over, by id, and the files that hold nothing else any more.

    A file of its own beside the store, and not rows of the ledger: a reading that was looked at and not used
    is no act of the sorter, and `watch` takes rows that no ledger ever sees. Each act is one line, added at
    the end and seen onto the disk before `take` returns. A line that a power cut tore is told by its missing
    end and dropped at the next start, so an act is there whole or not at all. Rows are marked when they were
    taken, never when they were offered: a process that dies in between finds them offered again.

    Who keeps the ids in a ledger of its own names the ledger row with each mark (`by`). `noted` then says up
    to where ledger and journal agree, so that what a kill left unmarked can be marked at the next start.
    """

    def __init__(self, path: Path, lock: "BaseFileLock") -> None:
        self.path = path
        self._lock = lock
        self._file_of: dict[str, str] = {}
        self._done: dict[str, list[int]] = {}
        """File taken to its end -> size [bytes] and change time [ns]."""
        self._by_ledger: set[str] = set()
        """Rows that a ledger row took."""
        self.told: set[tuple[str, str]] = set()
        """File and what of it a person was told."""
        self.noted = ""
        """The newest ledger row that is known here; empty where no mark names one."""

    @classmethod
    def open(cls, path: Path) -> Self:
        """Open the journal for this process alone; begins one where there is none.

        Args:
            path: The journal; its folder exists.

        Raises:
            TakenRowsError: Another process has it, it is damaged, or the folder cannot be written.
        """
        from filelock import FileLock, Timeout  # a tenth of a second to import; only a watch needs it

        # Whoever ends the watch may be another thread than the one that began it.
        lock = FileLock(f"{path}.lock", timeout=0, thread_local=False)
        try:
            lock.acquire()
        except Timeout:
            raise TakenRowsError(
                "Another process takes in readings for this yard. Stop it first: a reading goes to one place."
            ) from None
        except OSError as error:
            raise TakenRowsError(f"{path.parent} cannot be written: {error.strerror}.") from error
        journal = cls(path, lock)
        try:
            journal._read()
        except BaseException:
            lock.release()
            raise
        return journal

    def close(self) -> None:
        """Let the next process in."""
        self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def __contains__(self, row_id: object) -> bool:
        return row_id in self._file_of

    def file_of(self, row_id: str) -> str | None:
        """Return the file that a row was taken from, None for a row that was not."""
        return self._file_of.get(row_id)

    def is_done(self, file: str, stamp: tuple[int, int]) -> bool:
        """Return whether a file of this size [bytes] and change time [ns] was taken to its end."""
        return self._done.get(file) == list(stamp)

    def take(
        self,
        file: str,
        row_ids: Iterable[str],
        done: tuple[int, int] | None = None,
        by: str = "",
        *,
        told: str = "",
    ) -> None:
        """Mark rows as taken; on disk when this returns.

        Args:
            file: The file they stand in.
            row_ids: The rows.
            done: Size [bytes] and change time [ns] of the file when these are the last of it.
            by: The ledger row that says so; empty where no ledger does.
            told: What of the file a person was told; empty where nothing was.

        Raises:
            TakenRowsError: The disk refused; nothing is marked.
        """
        new = [row_id for row_id in row_ids if row_id not in self._file_of]
        said = {"done": list(done) if done else None, "told": told}
        if new or done or told or by != "":
            self._write({"file": file, "rows": new} | {key: one for key, one in said.items() if one}, by)

    def give_back(self, file: str, row_ids: Iterable[str], by: str = "") -> None:
        """Mark rows as not taken after all; on disk when this returns. The next start reads their file anew.

        Raises:
            TakenRowsError: The disk refused; nothing is marked.
        """
        back = [row_id for row_id in row_ids if row_id in self._file_of]
        if back or by != "":
            self._write({"file": file, "rows": [], "back": back}, by)

    def give_back_noted(self) -> None:
        """Give back every row that a ledger row took: the ledger no longer knows of them.

        Raises:
            TakenRowsError: The disk refused; nothing is marked.
        """
        by_file: dict[str, list[str]] = {}
        for row_id in self._by_ledger:
            by_file.setdefault(self._file_of[row_id], []).append(row_id)
        for file, row_ids in by_file.items():
            self.give_back(file, row_ids)

    def _write(self, act: dict[str, Any], by: str) -> None:
        """Add an act at the end."""
        if by:
            act["by"] = by
        line = (json.dumps(act, ensure_ascii=True, separators=(",", ":")) + "\n").encode("ascii")
        try:
            _append(self.path, line)
        except OSError as error:
            raise TakenRowsError(
                f"{self.path} cannot be written: {error.strerror}. What was shown will be offered again."
            ) from error
        self._enter(act)

    def _read(self) -> None:
        """Take in what the journal says; cuts off a torn last line."""
        try:
            content = read_bytes(self.path, MOST_BYTES)
            whole = content.rfind(b"\n") + 1
            if whole < len(content):
                os.truncate(self.path, whole)
        except FileNotFoundError:
            return
        except UserFileError as error:
            raise TakenRowsError(str(error)) from error
        except OSError as error:
            raise TakenRowsError(f"{self.path} cannot be read: {error.strerror}.") from error
        for number, line in enumerate(content[:whole].splitlines(), start=1):
            try:
                self._enter(json.loads(line))
            except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
                raise TakenRowsError(
                    f"{self.path}, line {number} is damaged. Take that line out, or move the file away: then "
                    "every reading in the folder is offered again."
                ) from error

    def _enter(self, act: Mapping[str, Any]) -> None:
        """Take note of one act."""
        file, by = str(act["file"]), str(act.get("by", ""))
        for row_id in act["rows"]:
            self._file_of[str(row_id)] = file
            if by:
                self._by_ledger.add(str(row_id))
        for row_id in act.get("back", ()):
            self._done.pop(self._file_of.pop(str(row_id), file), None)
            self._by_ledger.discard(str(row_id))
        if "done" in act:
            self._done[file] = [int(figure) for figure in act["done"]]
        if "told" in act:
            self.told.add((file, str(act["told"])))
        self.noted = by or self.noted


def _append(path: Path, line: bytes) -> None:
    """Add a line at the end, on disk when this returns; where the disk refuses, the file is as it was."""
    is_new = not path.exists()
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
    try:
        before = os.fstat(descriptor).st_size
        try:
            if os.write(descriptor, line) != len(line):
                raise OSError(28, "No space left on device")
            os.fsync(descriptor)
        except OSError:
            with contextlib.suppress(OSError):
                os.ftruncate(descriptor, before)
            raise
    finally:
        os.close(descriptor)
    if is_new:
        onto_disk(path.parent)
