"""What the console needs of its terminal, and how it leaves the terminal behind."""

import asyncio
import codecs
import os
import queue
import signal
import sys
import termios
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any

NO_TERMINAL = (
    "baywright: the console needs a terminal for keys and picture, and {stream} is not one. "
    "Without a screen there are commands: baywright enter, identify, tally, handover (see baywright --help)."
)
DUMB_TERMINAL = (
    "baywright: this terminal says of itself that it cannot move its cursor (TERM={term}). "
    "Open the console in another terminal, or set TERM to what this one is, for example xterm."
)
ENDING_SIGNALS = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)
STALLED_S = 0.5
"""A terminal that takes nothing for so long is looked at again [s]."""
SLOW_S = 3.0
"""Within this time a slow line takes the last pictures at the end [s]."""
LEAVE_SCREEN = "\x1b[<u\x1b[?1049l\x1b[?25h\x1b[?1004l\x1b[?2004l\x1b[?7h"
"""Keyboard protocol off, main screen, cursor shown, no reports of focus nor marks around pastes, wrap."""


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


def outlast_the_line() -> None:
    """Let no thread of Textual's 8.2 driver spin, hang or fail on broken bytes or a lost line.

    It decodes strictly: line noise, a Latin-1 terminal or a cut paste would end the program. It asks a line
    that is gone without a pause. And its writer ends at the first error, whereupon the queue fills and the
    loop, which should answer SIGHUP and SIGTERM, waits for room in it for ever; so it does where the terminal
    takes nothing more, stopped by Ctrl S or a connection that hangs.
    """
    import textual.drivers.linux_driver as driver

    if not hasattr(driver, "getincrementaldecoder") or not hasattr(driver, "WriterThread"):
        raise AssertionError(
            "textual's driver reads or writes in another way now: check what a lost line does"
        )

    driver.getincrementaldecoder = lambda _encoding: _KeyBytes
    driver.WriterThread = _never_holding_up(driver.WriterThread)  # type: ignore[assignment,attr-defined]


def _never_holding_up(writer: type[threading.Thread]) -> type[threading.Thread]:
    """Return the thread that writes, outlasting a line that is gone and a terminal that takes no more."""

    class Writer(writer):  # type: ignore[misc,valid-type]
        def run(self) -> None:
            try:
                super().run()
            except OSError:
                while self._queue.get() is not None:
                    pass

        def write(self, text: str) -> None:
            self._put(text, gives_up=lambda: bool(_told_to_end))

        def stop(self) -> None:
            self._put(None, gives_up=lambda: False)
            self.join(SLOW_S)
            if self.is_alive():
                while self.is_alive():
                    _throw_away(self, self.fileno())
                    self.join(STALLED_S)
                with suppress(OSError):
                    self._file.write(LEAVE_SCREEN)
                    self._file.flush()

        def _put(self, text: str | None, gives_up: Callable[[], bool]) -> None:
            while True:
                with suppress(queue.Full):
                    self._queue.put(text, timeout=STALLED_S)
                    return
                if gives_up():
                    return
                if text is None:
                    _throw_away(self, self.fileno())

    return Writer


def _throw_away(writes: threading.Thread, to: int) -> None:
    """Let go of what the terminal does not take: the program is at its end."""
    with suppress(OSError, termios.error):
        termios.tcflush(to, termios.TCOFLUSH)
    if writes.is_alive() and writes.ident is not None:
        signal.pthread_kill(writes.ident, signal.SIGTERM)  # else its write sleeps on, room or not


class _KeyBytes(codecs.getincrementaldecoder("utf-8")):  # type: ignore[misc]
    """The bytes of the keyboard line as text; a raw terminal gives none only when its line is gone."""

    def __init__(self) -> None:
        super().__init__(errors="replace")
        self._is_lost = False

    def decode(self, data: bytes, final: bool = False) -> str:
        if not data and not final:
            if not self._is_lost:
                self._is_lost = True
                os.kill(os.getpid(), signal.SIGHUP)  # where the system did not: no controlling terminal
            time.sleep(0.1)
        return str(super().decode(data, final))


def let_go() -> None:
    """Write out what waits for the terminal; where the terminal is gone, let nothing wait for it.

    Python would otherwise fail on a lost terminal at its very end, and hide the exit status behind its own.
    """
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


@contextmanager
def given_back() -> Iterator[None]:
    """Run what uses the terminal; on every way out it is as it was found, also in a storm of Ctrl C."""
    saved = {fd: termios.tcgetattr(fd) for fd in range(3) if os.isatty(fd)}
    # Until the loop takes signals over, one that comes early is kept for it.
    signal.signal(signal.SIGINT, lambda number, _: _early.append(number))
    is_left = False
    try:
        yield
        is_left = True
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        if not is_left and sys.__stderr__ is not None:
            with suppress(OSError, ValueError):
                sys.__stderr__.write(LEAVE_SCREEN)
                sys.__stderr__.flush()
        for fd, state in saved.items():
            with suppress(termios.error):
                termios.tcsetattr(fd, termios.TCSANOW, state)
        signal.signal(signal.SIGINT, signal.default_int_handler)


_early: list[int] = []
_told_to_end: list[int] = []


def take_up_after_stop(driver: Any) -> None:
    """Set the terminal up anew when the program goes on after a stop that it could not see coming.

    Textual 8.2 prepares for Ctrl Z and its like only: after SIGSTOP it would begin a second time over a
    screen that never ended, with two threads reading keys, and give a raw terminal back in the end. The loop
    does it, between two of its turns: a lost line lets a stopped program go on a second time, and what came
    in the middle of the first would wait for ever for the driver's queue, which that one holds.
    """
    if driver is None or not hasattr(driver, "_sigcont_application"):
        return  # not a terminal of this system, as in a test without one

    def go_on() -> None:
        if driver._key_thread is not None and driver._key_thread.is_alive():
            driver.suspend_application_mode()
            driver._must_signal_resume = True
        driver._sigcont_application()

    asyncio.get_running_loop().add_signal_handler(signal.SIGCONT, go_on)


def end_on_signals(end: Callable[[int], None]) -> None:
    """Call `end` with 128 + the signal's number when the session is told to end or its line is lost."""
    loop = asyncio.get_running_loop()
    for number in ENDING_SIGNALS:
        loop.add_signal_handler(number, end, 128 + number)
        # The loop is woken by the signal itself; this handler is heard while it waits for the terminal.
        signal.signal(number, lambda told, _: _told_to_end.append(told))
    if _early:
        end(128 + _early[0])
