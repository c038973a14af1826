"""What is written down when the program fails: enough to find the fault, nothing of the people."""

import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Mapping
from datetime import datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

PACKAGES = ("baywright", "textual", "rich", "numpy", "sqlite-utils", "rapidfuzz")
TERMINAL_VARIABLES = ("TERM", "COLORTERM", "NO_COLOR", "LANG", "LC_ALL", "TEXTUAL_FPS")
"""What the terminal says of itself; no other variable is written down."""
HEAD = (
    "Baywright ended by a fault of its own. This file holds no entry line, name, note or weight:\n"
    "only versions, the terminal, and where in the program it happened. It may be passed on as it is.\n"
)
TOLD = (
    "baywright: the program ended by a fault of its own. Every piece shown as done is on disk.\n"
    "What happened is in {path} (no personal data). Start the console again to go on.\n"
)
UNWRITTEN = (
    "baywright: the program ended by a fault of its own, and the report of it could not be written ({why}).\n"
    "Every piece that the screen called done is on disk. Start the console again to go on.\n"
)


def report_text(
    error: BaseException, *, size: tuple[int, int], at: datetime, environment: Mapping[str, str]
) -> str:
    """Return the report.

    The message of the error is left out: it may quote what was typed. Its kind and the places in the code say
    where to look.

    Args:
        error: What was raised.
        size: Columns and rows of the screen.
        at: When.
        environment: The variables of the process.
    """
    lines = [HEAD, f"at          {at.isoformat(timespec='seconds')}"]
    lines += [f"python      {platform.python_version()} on {platform.system()} {platform.machine()}"]
    lines += [f"{name:<11} {_version(name)}" for name in PACKAGES]
    lines += [f"screen      {size[0]} x {size[1]}"]
    lines += [f"{name:<11} {environment[name]}" for name in TERMINAL_VARIABLES if name in environment]
    seen: BaseException | None = error
    while seen is not None:
        lines += ["", f"{type(seen).__module__}.{type(seen).__qualname__}"]
        lines += [
            f"  {short_path(frame.filename)}:{frame.lineno} in {frame.name}"
            for frame in traceback.extract_tb(seen.__traceback__)
        ]
        seen = seen.__cause__ or seen.__context__
    return "\n".join(lines) + "\n"


def write_report(text: str, folder: Path, at: datetime) -> Path:
    """Write the report into the yard's folder, where that fails into the temp folder; return the file.

    Raises:
        OSError: Neither can be written to.
    """
    name = f"fault-{at:%Y%m%d-%H%M%S}.txt"
    try:
        file = folder / name
        file.write_text(text, encoding="utf-8")
    except OSError:
        file = Path(tempfile.gettempdir()) / f"baywright-{name}"
        file.write_text(text, encoding="utf-8")
    return file


def tell(error: BaseException, folder: Path, *, size: tuple[int, int], at: datetime) -> str:
    """Write the report; return what to say of it."""
    text = report_text(error, size=size, at=at, environment=os.environ)
    try:
        return TOLD.format(path=write_report(text, folder, at))
    except OSError as why:
        return UNWRITTEN.format(why=why.strerror)


def short_path(path: str) -> str:
    """Return a path from the package on; where somebody's home is on the way, it is left out.

    >>> short_path("/home/ada/venv/lib/python3.11/site-packages/textual/app.py")
    'textual/app.py'
    """
    parts = Path(path).parts
    for mark in ("site-packages", f"python{sys.version_info.major}.{sys.version_info.minor}"):
        if mark in parts:
            return "/".join(parts[len(parts) - parts[::-1].index(mark) :])
    for mark in ("console", "grade_library", "tests"):
        if mark in parts:
            return "/".join(parts[len(parts) - 1 - parts[::-1].index(mark) :])
    return parts[-1] if parts else path


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"
