"""What leaves a command: written whole or told, and an exit status that is true."""

import os
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass

from console.commands.yard_folder import say
from console.ground.errors import BaywrightError

DONE_IN_PART, NOT_BEGUN, FAULT, STOPPED = 1, 2, 70, 130
"""Exit statuses; 70 is EX_SOFTWARE of sysexits.h."""
LOST = "the output could not be written whole ({why})"
NO_MEMORY = "there is not enough memory for this; close other programs or allow more, and do it again"


class OutputLost(BaywrightError):  # noqa: N818 - reads as a claim
    """An answer could not be written; the message says how to go on. Exit status 1."""


@dataclass(slots=True)
class Ended:
    """How a command ended."""

    status: int = 0


def begin() -> None:
    """Make the streams usable: a letter that the terminal has not becomes "?", a closed one harms nobody."""
    for descriptor in range(3):
        try:
            os.fstat(descriptor)
        except OSError:
            # The number would else go to the next file that is opened, and be written into.
            os.open(os.devnull, os.O_RDWR)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


@contextmanager
def told_on_failure(command: str) -> Iterator[Ended]:
    """Say in one line on standard error why a command did not come to its end, and set its status."""
    ended, name = Ended(), f"baywright {command}".strip()
    try:
        yield ended
        if sys.stdout is not None:
            sys.stdout.flush()
    except BaywrightError as reason:
        status = DONE_IN_PART if isinstance(reason, OutputLost) else NOT_BEGUN
        ended.status = _said(f"{name}: {reason}", status)
    except KeyboardInterrupt:
        from console.commands.progress import end_all

        end_all()
        text = f"{name}: stopped; nothing is half-done, and what was confirmed is kept"
        ended.status = _said(text, STOPPED)
    except OSError as error:
        said = f"{error.filename}: {error.strerror}" if error.filename else LOST.format(why=error.strerror)
        ended.status = _said(f"{name}: {said}", max(ended.status, DONE_IN_PART))
    except MemoryError:
        ended.status = _said(f"{name}: {NO_MEMORY}", FAULT)
    except Exception as error:  # noqa: BLE001 - the last door: a sentence, no traceback with what people typed
        ended.status = _said(f"{name}: {_fault(error)}", FAULT)
    finally:
        _let_go()


def _said(text: str, status: int) -> int:
    with suppress(OSError, ValueError):
        say(text)
    return status


def _fault(error: Exception) -> str:
    """Return kind and place of a fault of the program; its message may quote what was typed."""
    if isinstance(error, ImportError):
        return (
            NO_MEMORY
            if "map" in str(error) or "alloc" in str(error)
            else f"not installed whole: {error.name}"
        )
    frame = traceback.extract_tb(error.__traceback__)[-1]
    place = "/".join(frame.filename.replace("\\", "/").split("/")[-2:])
    return (
        f"ended by a fault of the program ({type(error).__name__} in {place}, line {frame.lineno}); "
        "what was confirmed is kept"
    )


def _let_go() -> None:
    """Let nothing wait for a stream that is gone: Python would fail on it at its very end."""
    for stream in (sys.stdout, sys.stderr):
        if stream is None:
            continue
        try:
            stream.flush()
        except (OSError, ValueError):
            with suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
