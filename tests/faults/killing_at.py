"""A process that is killed at its n-th step on files: every step of an act, none left to chance."""

import os
import signal
import sys
from collections.abc import Callable

STEPS = frozenset(
    {"os.rename", "os.link", "os.remove", "os.truncate", "shutil.move", "shutil.copyfile", "sqlite3.connect"}
)
"""What a process does to names and stores, as Python's audit hooks call it."""
DONE = -1
"""What `killed_at` returns when the act came to its end before so many steps."""


def killed_at(step: int, act: Callable[[], object]) -> int:
    """Do an act in a process of its own and kill that before its n-th step; return the signal, or DONE.

    Args:
        step: 0 for the first.
        act: What to do; its exit status is not looked at.
    """
    child = os.fork()
    if child == 0:
        try:
            _die_at(step)
            act()
        finally:
            os._exit(0)
    _, status = os.waitpid(child, 0)
    return os.WTERMSIG(status) if os.WIFSIGNALED(status) else DONE


def _die_at(step: int) -> None:
    left = step

    def hook(event: str, arguments: object) -> None:
        nonlocal left
        is_written = (
            event == "open" and isinstance(arguments, tuple) and arguments[1] in ("w", "wb", "x", "a")
        )
        if event not in STEPS and not is_written:
            return
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        left -= 1

    sys.addaudithook(hook)


def killed_at_every_step(
    prepare: Callable[[], object], act: Callable[[], object], look: Callable[[int], None]
) -> int:
    """Prepare, act until the n-th step, look at what is left, for every n; return how many there are."""
    for step in range(1000):
        prepare()
        if killed_at(step, act) == DONE:
            return step
        look(step)
    raise AssertionError("the act never ends")
