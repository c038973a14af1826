"""The line that was not finished when the console ended."""

import contextlib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Protocol

from console.ground.cleaning import clean
from grade_library.user_files import UserFileError, read_text

FILE_NAME = "yard.half-typed"
KEEP_AFTER_S = 1.0
"""The line goes to disk when the keys have rested for so long [s]."""
MOST_BYTES = 200_000
"""Of the file: a line and the readings beside it."""
LONGEST = 1000
"""Characters taken back from the file; the entry line holds no more."""


def keep(folder: Path, line: str, beside: str = "") -> None:
    """Write the line beside the store, or take the file away when the line is blank.

    Args:
        folder: The yard's.
        line: As typed.
        beside: Another line of text that belongs to it.

    A folder that cannot be written to is no reason to fail: opening the store there says so already.
    """
    from console.ground.durable import replace_whole  # costs 5 ms that the first picture should not pay

    path = folder / FILE_NAME
    with contextlib.suppress(OSError):
        if not line.strip():
            path.unlink(missing_ok=True)
            return
        replace_whole(path, f"{line}\n{beside}\n" if beside else f"{line}\n")


def kept(folder: Path) -> tuple[str, str]:
    """Return the line kept, made safe, and what was kept beside it; empty when there is none."""
    try:
        text = read_text(folder / FILE_NAME, MOST_BYTES, errors="replace")
    except (OSError, UserFileError):
        return "", ""
    line, beside = [*text.split("\n"), "", ""][:2]
    return clean(line, LONGEST), beside


class Timed(Protocol):
    """Something that will happen later, or not."""

    def stop(self) -> None:
        """Let it not happen."""


class HalfTypedLine:
    """Follows the entry line and keeps it on disk, so that not even a power cut takes it."""

    def __init__(self, folder: Path, later: Callable[[float, Callable[[], object]], Timed]) -> None:
        self.typed = ""
        """The line as it stands."""
        self.beside: Callable[[], str] = str
        """Gives what is kept beside the line, on one line; empty where nothing belongs to it."""
        self._folder = folder
        self._later = later
        self._timer: Timed | None = None
        self._is_ours = False
        """The line kept by the sitting before was taken back; until then its file is not touched."""

    def take_back(self) -> tuple[str, str]:
        """Return the line kept last time and what was beside it; from now on its file follows the line."""
        self._is_ours = True
        return kept(self._folder)

    def follow(self, line: str) -> None:
        """Take note of the line as it is now."""
        self.typed = line
        if self._timer is not None:
            self._timer.stop()
        if self._is_ours:
            self._timer = self._later(KEEP_AFTER_S, partial(self._keep, line))

    def keep_now(self) -> None:
        """Write the line to disk; a blank one only once the line kept before was taken back."""
        if self._is_ours or self.typed.strip():
            self._keep(self.typed)

    def _keep(self, line: str) -> None:
        keep(self._folder, line, self.beside())
