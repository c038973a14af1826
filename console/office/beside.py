"""Gathers beside the console, in a process of its own: nobody at the bench waits for the office."""

import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.yard.file.office_table import OfficeSettings

LOG = "gather.log"
"""Beside the store: what the last gather beside the console said, anew each time."""


def gather_beside(folder: Path, settings: "OfficeSettings") -> "subprocess.Popen[bytes] | None":
    """Begin to gather a yard's rows and return at once; None where the yard names no office for that.

    The process outlives the console, and whatever it meets is in its log: the next gather goes on from there.

    Args:
        folder: The yard's folder.
        settings: What its yard.toml says of the office.
    """
    if not (settings.server and settings.at_close_out):
        return None
    words = [sys.executable, "-m", "console.cli", "gather", "--yard", str(folder.resolve())]
    with suppress(OSError), (folder / LOG).open("wb") as log:
        return subprocess.Popen(
            words, stdin=subprocess.DEVNULL, stdout=log, stderr=subprocess.STDOUT, start_new_session=True
        )
    return None
