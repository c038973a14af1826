"""Gathers beside the console, in a process of its own: nobody at the bench waits for the office."""

import os
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from console.yard.file.office_table import OfficeSettings

LOG = "gather.log"
"""Beside the store: what the last gather beside the console said, anew each time."""
COMES_AFTER = 10
"""Niceness of what gathers beside a console (own choice; source of the scale, -20 to 19: setpriority(2))."""


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
        process = subprocess.Popen(
            words, stdin=subprocess.DEVNULL, stdout=log, stderr=subprocess.STDOUT, start_new_session=True
        )
        give_way(process.pid)
        return process
    return None


def give_way(process_id: int = 0) -> None:
    """Have a process (0: this one) come after all others that want the processor, the console among them.

    Where the system knows no such order, or does not let us, it stays as it is.
    """
    with suppress(AttributeError, OSError):
        now = os.getpriority(os.PRIO_PROCESS, process_id)
        os.setpriority(os.PRIO_PROCESS, process_id, max(now, COMES_AFTER))
