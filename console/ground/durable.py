"""Files that survive a power cut: whole or not there, and on the disk before anybody says so."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO


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

    What is no plain file, such as a pipe or a terminal, is written to as it is.

    Args:
        file: The file; a link is followed.
        encoding: As of `open`.
        errors: As of `open`.
        newline: As of `open`.

    Raises:
        OSError: The disk refused; the old file is as it was.
    """
    if file.exists() and not file.is_file():
        with file.open("w", encoding=encoding, errors=errors, newline=newline) as stream:
            yield stream
        return
    file = file.resolve()
    descriptor, temporary = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(descriptor, "w", encoding=encoding, errors=errors, newline=newline) as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(temporary, file.stat().st_mode & 0o777 if file.exists() else 0o666 & ~_umask())
        os.replace(temporary, file)
    except BaseException:
        os.unlink(temporary)
        raise
    onto_disk(file.parent)


def _umask() -> int:
    """Return what a new file of this process may not be; it can only be read by setting it."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
