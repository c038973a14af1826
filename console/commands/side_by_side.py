"""Work on many pieces shared out among the processors, with the results in the order of the pieces."""

import gc
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")

WORTH_SHARING = 300
"""Fewer items are done sooner in one process: starting another takes some tenths of a second."""
AT_ONCE = 40
"""Items that a process takes at a time; after Ctrl C it comes to the end of these."""
SELDOM = (20_000, 50, 50)
"""When a process looks for garbage, as `gc.set_threshold` takes it: left alone it does so every few items,
a twentieth of the time (500 readings told as JSON)."""

_work: Callable[[Any], Any]


def in_order(
    work: Callable[[Item], Result], items: Sequence[Item], processes: int | None = None
) -> Generator[Result, None, None]:
    """Yield what the work makes of each item, in the order of the items.

    The first is done here before the others are shared out, so that what all of them need is worked out
    once. Where the caller stops, by Ctrl C too, no process is left behind: what nobody has begun is dropped,
    and what is begun comes to its end. A process whose parent was killed ends by itself.

    Args:
        work: What is done; goes to each process once and must be picklable where processes are not forked.
        items: What it is done to; picklable, as are the results.
        processes: How many; None for as many as there are processors, one for few items.
    """
    n = _processors() if processes is None else processes
    if n < 2 or not items or (processes is None and len(items) < WORTH_SHARING):
        yield from map(work, items)
        return
    first = work(items[0])
    batches = [items[at : at + AT_ONCE] for at in range(1, len(items), AT_ONCE)]
    pool = ProcessPoolExecutor(n, mp_context=_context(), initializer=_begin, initargs=(work,))
    try:
        others = pool.map(_worked, batches)
        yield first
        for results in others:
            yield from results
    finally:
        pool.shutdown(cancel_futures=True)


def _processors() -> int:
    """Return how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _context() -> multiprocessing.context.BaseContext:
    """Return how processes are started: forked where that is safe, since the grades are read already then."""
    is_alone = threading.active_count() == 1
    return multiprocessing.get_context("fork" if os.name == "posix" and is_alone else "spawn")


def _begin(work: Callable[[Any], Any]) -> None:
    """Make a process ready: Ctrl C is the parent's to answer, and without a parent there is nothing to do."""
    global _work
    _work = work
    # What is there already lives as long as the process.
    gc.freeze()
    gc.set_threshold(*SELDOM)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _worked(batch: Sequence[Any]) -> list[Any]:
    return [_work(item) for item in batch]
