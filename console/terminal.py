"""What the console needs of its terminal, and how it leaves the terminal behind."""

import asyncio
import codecs
import functools
import os
import signal
import sys
from collections.abc import Callable

NO_TERMINAL = (
    "baywright: the console needs a terminal for keys and picture, and {stream} is not one. "
    "Without a screen there are commands: baywright enter, identify, tally, handover (see baywright --help)."
)
DUMB_TERMINAL = (
    "baywright: this terminal says of itself that it cannot move its cursor (TERM={term}). "
    "Open the console in another terminal, or set TERM to what this one is, for example xterm."
)
ENDING_SIGNALS = (signal.SIGTERM, signal.SIGHUP)


def why_not_here() -> str | None:
    """Return why the console cannot open on this terminal; None when it can."""
    if not sys.stdin.isatty():
        return NO_TERMINAL.format(stream="standard input")
    if sys.__stderr__ is None or not sys.__stderr__.isatty():
        return NO_TERMINAL.format(stream="standard error, where the picture is drawn,")
    if os.environ.get("TERM", "") in ("dumb", ""):
        return DUMB_TERMINAL.format(term=os.environ.get("TERM", "") or "(empty)")
    return None


def is_plain(encoding: str | None) -> bool:
    """Tell whether a terminal of this encoding can show nothing but ASCII.

    >>> is_plain("utf-8"), is_plain("UTF8"), is_plain("ANSI_X3.4-1968"), is_plain(None)
    (False, False, True, True)
    """
    try:
        return encoding is None or codecs.lookup(encoding).name != "utf-8"
    except LookupError:
        return True


def forgive_broken_bytes() -> None:
    """Let a byte on the keyboard line that is no UTF-8 become a replacement character.

    Textual 8.2 decodes strictly: line noise, a Latin-1 terminal or a cut paste would end the program.
    """
    import textual.drivers.linux_driver as driver

    if not hasattr(driver, "getincrementaldecoder"):
        raise AssertionError(
            "textual's driver decodes its input in another way now: check what a broken byte does"
        )

    def forgiving(encoding: str) -> Callable[[], codecs.IncrementalDecoder]:
        return functools.partial(codecs.getincrementaldecoder(encoding), errors="replace")

    driver.getincrementaldecoder = forgiving


def let_go() -> None:
    """Write out what waits for the terminal; where the terminal is gone, let nothing wait for it.

    Python would otherwise fail on a lost terminal at its very end, and hide the exit status behind its own.
    """
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def end_on_signals(end: Callable[[int], None]) -> None:
    """Call `end` with 128 + the signal's number when the session is told to end or its line is lost."""
    loop = asyncio.get_running_loop()
    for number in ENDING_SIGNALS:
        loop.add_signal_handler(number, end, 128 + number)
