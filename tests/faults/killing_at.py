"""A process that is killed at its n-th step on files: every step of an act, none left to chance."""

import os
import signal
import sqlite3
import sys
import traceback
from collections.abc import Callable
from typing import Any

STEPS = frozenset(
    {"os.rename", "os.link", "os.remove", "os.truncate", "shutil.move", "shutil.copyfile", "sqlite3.connect"}
)
"""What a process does to names and stores, as Python's audit hooks call it."""
WRITING = ("BEGIN IMMEDIATE", "INSERT", "COMMIT")
"""How the statements begin that make an act of rows; each is a step too where rows are meant."""
DONE = -1
"""What `killed_at` returns when the act came to its end before so many steps."""


def killed_at(step: int, act: Callable[[], object], *, rows: bool = False) -> int:
    """Do an act in a process of its own and kill that before its n-th step; return the signal, or DONE.

    Args:
        step: 0 for the first.
        act: What to do; what it returns is not looked at, and it may not raise.
        rows: Count every statement that writes rows as a step.
    """
    child = os.fork()
    if child == 0:
        try:
            _die_at(step, rows=rows)
            act()
        except BaseException:  # noqa: BLE001 - a child never comes back into the tests
            traceback.print_exc()
            os._exit(1)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or status == 0, "the act raised; what it raised is printed above"
    return os.WTERMSIG(status) if os.WIFSIGNALED(status) else DONE


def _die_at(step: int, *, rows: bool) -> None:
    left = step

    def count() -> None:
        nonlocal left
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        left -= 1

    def traced(statement: str) -> None:
        if statement.startswith(WRITING):
            count()

    def hook(event: str, arguments: object) -> None:
        assert isinstance(arguments, tuple)
        is_written = event == "open" and arguments[1] in ("w", "wb", "x", "a")
        if event in STEPS or is_written:
            count()

    def connect(*arguments: Any, **more: Any) -> sqlite3.Connection:
        connection = plain_connect(*arguments, **more)
        connection.set_trace_callback(traced)
        return connection

    if rows:
        plain_connect, sqlite3.connect = sqlite3.connect, connect  # of this process alone
    sys.addaudithook(hook)


def killed_at_every_step(
    prepare: Callable[[], object],
    act: Callable[[], object],
    look: Callable[[int], None],
    *,
    rows: bool = False,
) -> int:
    """Prepare, act until the n-th step, look at what is left, for every n; return how many there are."""
    for step in range(1000):
        prepare()
        if killed_at(step, act, rows=rows) == DONE:
            return step
        look(step)
    raise AssertionError("the act never ends")
