"""Files that survive a power cut: whole or not there, and on the disk before anybody says so."""

import os
import tempfile
from pathlib import Path


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
    descriptor, temporary = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        if file.exists():
            os.chmod(temporary, file.stat().st_mode & 0o777)
        os.replace(temporary, file)
    except BaseException:
        os.unlink(temporary)
        raise
    onto_disk(file.parent)
