"""Files that a command is told to write: never over what the program lives on, else only when told."""

import argparse
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from console.commands.yard_folder import GRADES_FILE, STORE_FILE, YARD_FILE, refuse

OWN_NAMES = (YARD_FILE, GRADES_FILE, "readings-taken.jsonl", "yard.half-typed")
"""Files of a yard beside the store, each with what belongs to it and begins with its name."""
OWN_SHEETS = ("handover-", "bale-")


def add_overwrite_argument(parser: argparse.ArgumentParser) -> None:
    """Give a command its --overwrite."""
    parser.add_argument("--overwrite", action="store_true", help="replace the file if it is there already")


@contextmanager
def writing_out(
    file: Path,
    *,
    yard: Path,
    overwrite: bool = False,
    encoding: str = "utf-8",
    newline: str | None = None,
) -> Iterator[TextIO]:
    """Give a stream whose text becomes the file at the end, whole or not at all.

    A pipe, a terminal or another device is written to as it is.

    Args:
        file: As named on the command line.
        yard: The yard's folder, whose own files are never written over.
        overwrite: Whether a file that is there already may be replaced.
        encoding: As of `open`.
        newline: As of `open`.

    Raises:
        CommandRefusal: The file may not be written over.
        OSError: The disk refused; what was there is as it was.
    """
    from console.ground.durable import writing_whole

    may_be_written(file, yard=yard, overwrite=overwrite)
    if file.exists() and not file.is_file():
        with file.open("w", encoding=encoding, newline=newline) as stream:
            yield stream
        return
    with writing_whole(file, encoding=encoding, newline=newline) as stream:
        yield stream


def may_be_written(file: Path, *, yard: Path, overwrite: bool = False) -> None:
    """Refuse a file that may not be written: a link, a folder, one of the program's, one that is there."""
    is_device = file.exists() and _is_device(file)
    if file.is_symlink() and not is_device:
        refuse(f"{file} is a link; name the file itself")
    if file.is_dir():
        refuse(f"{file} is a folder; name a file in it")
    if _is_own(file, yard):
        refuse(f"{file} belongs to the yard itself and is never written over; name another file")
    if file.exists() and not is_device and not overwrite:
        refuse(f"{file} exists already and was not touched; name another file, or say --overwrite")


def _is_device(file: Path) -> bool:
    mode = file.stat().st_mode
    return stat.S_ISCHR(mode) or stat.S_ISFIFO(mode) or stat.S_ISSOCK(mode)


def _is_own(file: Path, yard: Path) -> bool:
    """Return whether a file is one that the program lives on, under whatever name it is reached."""
    real = file.resolve()
    if real.parent == yard.resolve() and _is_own_name(real.name):
        return True
    if real.name == STORE_FILE or Path(__file__).parents[2] / "console" in real.parents:
        return True
    own = [one for one in yard.iterdir() if _is_own_name(one.name)] if yard.is_dir() else []
    return file.exists() and any(one.exists() and one.samefile(file) for one in own)


def _is_own_name(name: str) -> bool:
    return name in OWN_NAMES or name.startswith((STORE_FILE, *OWN_SHEETS))
