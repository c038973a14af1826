"""Files that survive a power cut: whole or not there, and on the disk before anybody says so."""

import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TextIO

UNFINISHED = ".unfinished"
"""Ending of a file that is being written; its name holds the number of the process that writes it."""
_NAME_KEPT = 80
_UNFINISHED_NAME = re.compile(r"\.(.+?)\.([0-9]{1,9})(?:\.[^.]+)?\.unfinished", re.DOTALL)


def onto_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk.

    Systems that cannot open a folder do without.
    """
    if path.is_dir() and os.name != "posix":
        return
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def replace_whole(file: Path, text: str) -> None:
    """Write a file so that a power cut leaves the old or the new one whole.

    Raises:
        OSError: The disk refused; the old file is as it was.
    """
    with writing_whole(file) as stream:
        stream.write(text)


@contextmanager
def writing_whole(
    file: Path, *, encoding: str = "utf-8", errors: str = "strict", newline: str | None = None
) -> Iterator[TextIO]:
    """Give a stream whose text becomes the file at the end; a power cut leaves the old or the new one whole.

    A link or a pipe of that name is replaced, never followed or written into: somebody may have planted it.

    Args:
        file: The file.
        encoding: As of `open`.
        errors: As of `open`.
        newline: As of `open`.

    Raises:
        OSError: The disk refused; the old file is as it was.
    """
    sweep_unfinished(file.parent, of=file.name)
    descriptor, temporary = tempfile.mkstemp(
        dir=file.parent, prefix=f".{file.name[:_NAME_KEPT]}.{os.getpid()}.", suffix=UNFINISHED
    )
    try:
        with os.fdopen(descriptor, "w", encoding=encoding, errors=errors, newline=newline) as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        is_there = file.is_file() and not file.is_symlink()
        os.chmod(temporary, file.stat().st_mode & 0o777 if is_there else 0o666 & ~_umask())
        os.replace(temporary, file)
    except BaseException:
        os.unlink(temporary)
        raise
    onto_disk(file.parent)


def sweep_unfinished(folder: Path, *, of: str = "") -> None:
    """Take away what processes left that were killed while they wrote; those of living ones stay.

    Args:
        folder: Where to look.
        of: Only what was to become this file; empty for all.
    """
    try:
        names = [entry.name for entry in os.scandir(folder) if entry.name.endswith(UNFINISHED)]
    except OSError:
        return
    for name in names:
        left = _UNFINISHED_NAME.fullmatch(name)
        if left and (not of or left[1] == of[:_NAME_KEPT]) and not _is_alive(int(left[2])):
            with suppress(OSError):
                (folder / name).unlink()


def _is_alive(process: int) -> bool:
    """Return whether a process of this number runs; of another user counts."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _umask() -> int:
    """Return what a new file of this process may not be; it can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
