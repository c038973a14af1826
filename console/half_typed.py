"""The line that was not finished when the console ended."""

import contextlib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from console.ground.cleaning import clean
from grade_library.user_files import UserFileError, read_text

if TYPE_CHECKING:
    from textual.timer import Timer

FILE_NAME = "yard.half-typed"
KEEP_AFTER_S = 1.0
"""The line goes to disk when the keys have rested for so long [s]."""
MOST_BYTES = 200_000
"""Of the file: a line and the readings beside it."""
LONGEST = 1000
"""Characters taken back from the file; the entry line holds no more."""


class HalfTypedLine:
    """Follows the entry line and keeps it on disk, so that not even a power cut takes it."""

    def __init__(self, folder: Path, later: "Callable[[float, Callable[[], object]], Timer]") -> None:
        self.typed = ""
        """The line as it stands."""
        self.beside: Callable[[], str] = str
        """Gives what is kept beside the line, on one line; empty where nothing belongs to it."""
        self._file = folder / FILE_NAME
        self._later = later
        self._timer: Timer | None = None
        self._is_ours = False
        """The line kept by the sitting before was taken back; until then its file is not touched."""

    def take_back(self) -> tuple[str, str]:
        """Return the line kept last time, made safe, and what was beside it; both empty where none was.

        From now on its file follows the line.
        """
        self._is_ours = True
        try:
            text = read_text(self._file, MOST_BYTES, errors="replace")
        except (OSError, UserFileError):
            return "", ""
        line, beside = [*text.split("\n"), "", ""][:2]
        return clean(line, LONGEST), beside

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
        """Write the line and what is beside it, or take the file away when the line is blank.

        A folder that cannot be written to is no reason to fail: opening the store there says so already.
        """
        from console.ground.durable import replace_whole  # costs 5 ms that the first picture should not pay

        beside = self.beside()
        with contextlib.suppress(OSError):
            if line.strip():
                replace_whole(self._file, f"{line}\n{beside}\n" if beside else f"{line}\n")
            else:
                self._file.unlink(missing_ok=True)
