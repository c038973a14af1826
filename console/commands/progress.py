"""How work that lasts tells how far it is, the same way for every command.

On a terminal: a bar with the time left; in plain mode a line in words now and then; otherwise nothing. It
goes to standard error, so that standard output stays data. What is over in a second shows and loads nothing.
"""

import signal
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

from console.commands.plain_mode import is_plain_mode

if TYPE_CHECKING:
    from rich.progress import Progress as RichProgress

Item = TypeVar("Item")
LASTS_S = 1.0
"""What is over sooner needs no bar [s]."""
BETWEEN_WORDS_S = 5.0
"""Between two lines in plain mode [s]: enough to be read out."""
LOOK_EVERY_S = 0.1
"""Between two looks at how much is done [s]."""


class Progress:
    """Takes how much is done; a thread of its own shows it once the work has lasted a while."""

    def __init__(self, what: str, total: int | None = None, *, unit: str = "") -> None:
        self._what, self._total, self._unit = what, total, unit
        self._done = 0
        self._began = time.monotonic()
        self._is_over = threading.Event()
        self._teller: threading.Thread | None = None
        _running.append(self)
        if sys.stderr.isatty():
            self._teller = threading.Thread(target=self._tell, daemon=True)
            self._teller.start()

    def __call__(self, done: int, total: int | None = None) -> None:
        """Say how much is done so far, and of how much where that is known by now."""
        self._done = done
        if total:
            self._total = total

    def end(self) -> None:
        """Take the bar off the terminal."""
        self._is_over.set()
        if self in _running:
            _running.remove(self)
        if self._teller is not None:
            self._teller.join()

    def _tell(self) -> None:
        if self._is_over.wait(LASTS_S):
            return
        if is_plain_mode():
            while not self._is_over.wait(BETWEEN_WORDS_S):
                seconds = time.monotonic() - self._began
                words = in_words(self._what, self._done, self._total, seconds, self._unit)
                print(words, file=sys.stderr, flush=True)
            return
        with _bar(self._unit) as bar:
            task = bar.add_task(self._what, total=self._total)
            while not self._is_over.wait(LOOK_EVERY_S):
                bar.update(task, completed=self._done, total=self._total)


_running: list[Progress] = []


def end_all() -> None:
    """Take every bar off the terminal, before something is said that shall stay there."""
    while _running:
        _running[-1].end()


def in_words(what: str, done: int, total: int | None, seconds: float, unit: str = "") -> str:
    """Return how far work is, and how long it will still take at the pace so far.

    >>> in_words("verifying", 250, 1000, 10.0, "rows")
    'verifying: 250 of 1000 rows, about 30 s left'
    >>> in_words("reading", 250, None, 10.0, "rows")
    'reading: 250 rows so far'
    """
    after = f" {unit}" if unit else ""
    if total is None or done <= 0:
        return f"{what}: {done}{after} so far"
    left = seconds * max(0, total - done) / done
    words = f"{left:.0f} s" if left < 120.0 else f"{left / 60.0:.0f} min"
    return f"{what}: {done} of {total}{after}, about {words} left"


@contextmanager
def progress(what: str, total: int | None = None, *, unit: str = "") -> Iterator[Progress]:
    """Give a callback that takes how much is done; the bar goes away with the block.

    Args:
        what: What is being done, such as "verifying".
        total: How much there is to do; None where nobody knows.
        unit: What is counted, for words.
    """
    telling = Progress(what, total, unit=unit)
    try:
        yield telling
    finally:
        telling.end()


def followed(
    items: Iterable[Item],
    what: str,
    total: int | None = None,
    *,
    unit: str = "",
    size: Callable[[Item], int] = lambda _: 1,
) -> Iterator[Item]:
    """Yield the items and tell how many of them are done.

    Args:
        items: What is worked through.
        what: What is being done.
        total: How much there is, in the measure of `size`; None where nobody knows.
        unit: What is counted, for words.
        size: How much of the total one item is.
    """
    done = 0
    with progress(what, total, unit=unit) as tell:
        for item in items:
            yield item
            done += size(item)
            tell(done)


@contextmanager
def signals_to(take: Callable[[int], None]) -> Iterator[None]:
    """Give a block in which Ctrl C and an order to end are handed to somebody, by their number.

    Main thread only, as signals are.
    """
    before = {
        number: signal.signal(number, lambda number, _: take(number))
        for number in (signal.SIGINT, signal.SIGTERM)
    }
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def undivided() -> Iterator[None]:
    """Give a block that Ctrl C, or an order to end, never leaves half-done: it counts once the block is over.

    Main thread only.
    """
    asked: list[int] = []
    try:
        with signals_to(asked.append):
            yield
    except Exception as error:
        if asked:
            raise KeyboardInterrupt from error
        raise
    if asked:
        raise KeyboardInterrupt


def _bar(unit: str) -> "RichProgress":
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        TextColumn,
        TimeElapsedColumn,
        TimeRemainingColumn,
    )
    from rich.progress import Progress as RichProgress

    return RichProgress(
        TextColumn("{task.description}", markup=False),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn(unit, markup=False),
        TimeRemainingColumn(),
        TimeElapsedColumn(),
        console=Console(stderr=True),
        transient=True,
        # Lines of the result stay above the bar on one terminal with it, and stay data elsewhere.
        redirect_stdout=sys.stdout.isatty(),
        redirect_stderr=True,
    )
