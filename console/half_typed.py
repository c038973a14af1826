"""The line that was not finished when the console ended."""

import contextlib
import os
from pathlib import Path

from console.entry.cleaning import clean

FILE_NAME = "yard.half-typed"
LONGEST = 1000
"""Characters taken back from the file; the entry line holds no more."""


def keep(folder: Path, line: str) -> None:
    """Write the line beside the store, or take the file away when the line is blank.

    A folder that cannot be written to is no reason to fail: the console says so when it opens the store there.
    """
    path = folder / FILE_NAME
    with contextlib.suppress(OSError):
        if not line.strip():
            path.unlink(missing_ok=True)
            return
        draft = path.with_suffix(".half-typed-new")
        draft.write_text(line + "\n", encoding="utf-8")
        os.replace(draft, path)


def kept(folder: Path) -> str:
    """Return the line kept, made safe; empty when there is none."""
    try:
        text = (folder / FILE_NAME).read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""
    return clean(text.splitlines()[0] if text else "", LONGEST)
