"""Which rows of readings files were taken already: a journal on disk that outlives the process."""

import contextlib
import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from console.entry.durable import onto_disk

if TYPE_CHECKING:
    from filelock import BaseFileLock

JOURNAL_FILE = "readings-taken.jsonl"
"""Name of the journal in the yard's folder."""


class TakenRowsError(ValueError):
    """The journal cannot be read, written or had alone; the message says what would be right."""


class TakenRows:
    """The rows that somebody has taken over, by id, and the files that hold nothing else any more.

    A file of its own beside the store, and not rows of the ledger: a reading that was looked at and not used
    is no act of the sorter, and `watch` works while a console holds the store. Each act is one line, added at
    the end and seen onto the disk before `take` returns. A line that a power cut tore is told by its missing
    end and dropped at the next start, so an act is there whole or not at all. Rows are marked when they were
    taken, never when they were offered: a process that dies in between finds them offered again.
    """

    def __init__(self, path: Path, lock: "BaseFileLock", files: dict[str, str], done: dict[str, Any]) -> None:
        self.path = path
        self._lock = lock
        self._file_of = files
        self._done = done

    @classmethod
    def open(cls, path: Path) -> Self:
        """Open the journal for this process alone; begins one where there is none.

        Args:
            path: The journal; its folder exists.

        Raises:
            TakenRowsError: Another process has it, it is damaged, or the folder cannot be written.
        """
        from filelock import FileLock, Timeout  # a tenth of a second to import; only a watch needs it

        lock = FileLock(f"{path}.lock", timeout=0)
        try:
            lock.acquire()
        except Timeout:
            raise TakenRowsError(
                "Another process takes in readings for this yard. Stop it first: a reading goes to one place."
            ) from None
        except OSError as error:
            raise TakenRowsError(f"{path.parent} cannot be written: {error.strerror}.") from error
        try:
            files, done = _read(path)
        except BaseException:
            lock.release()
            raise
        return cls(path, lock, files, done)

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

    def take(self, file: str, row_ids: Iterable[str], done: tuple[int, int] | None = None) -> None:
        """Mark rows as taken; on disk when this returns.

        Args:
            file: The file they stand in.
            row_ids: The rows.
            done: Size [bytes] and change time [ns] of the file when these are the last of it.

        Raises:
            TakenRowsError: The disk refused; nothing is marked.
        """
        new = [row_id for row_id in row_ids if row_id not in self._file_of]
        act: dict[str, Any] = {"file": file, "rows": new} | ({"done": list(done)} if done else {})
        if not new and not done:
            return
        line = (json.dumps(act, ensure_ascii=True, separators=(",", ":")) + "\n").encode("ascii")
        try:
            _append(self.path, line)
        except OSError as error:
            raise TakenRowsError(
                f"{self.path} cannot be written: {error.strerror}. What was shown will be offered again."
            ) from error
        _enter(act, self._file_of, self._done)


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


def _read(path: Path) -> tuple[dict[str, str], dict[str, Any]]:
    """Return row id -> file, and file -> size and time; cuts off a torn last line."""
    files: dict[str, str] = {}
    done: dict[str, Any] = {}
    try:
        content = path.read_bytes()
        whole = content.rfind(b"\n") + 1
        if whole < len(content):
            os.truncate(path, whole)
    except FileNotFoundError:
        return files, done
    except OSError as error:
        raise TakenRowsError(f"{path} cannot be read: {error.strerror}.") from error
    for number, line in enumerate(content[:whole].splitlines(), start=1):
        try:
            _enter(json.loads(line), files, done)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            raise TakenRowsError(
                f"{path}, line {number} is damaged. Take that line out, or move the file away: then every "
                "reading in the folder is offered again."
            ) from error
    return files, done


def _enter(act: Mapping[str, Any], files: dict[str, str], done: dict[str, Any]) -> None:
    """Take note of one act."""
    for row_id in act["rows"]:
        files[str(row_id)] = str(act["file"])
    if "done" in act:
        done[str(act["file"])] = list(act["done"])
