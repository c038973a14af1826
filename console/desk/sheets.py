"""Sheets in the yard's folder that belong to an act: written whole, or the act is refused."""

import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from console.desk.refusals import DeskRefusal
from console.ground.durable import replace_whole

_NOT_IN_A_NAME = re.compile("[^A-Za-z0-9._-]+")
LONGEST_NAME = 80
MARK = ".not-in-ledger"
"""Characters of a sheet's name that come from a run or a tag."""
NOT_IN_LEDGER = (
    "NOT IN THE LEDGER: no row of it made this sheet. It counts for nothing unless another copy has one."
)


def sheet_stem(kind: str, name: str) -> str:
    """Return the name of a sheet without its ending; what cannot stand in the name of a file becomes a line.

    >>> sheet_stem("handover", "gate/2-0001")
    'handover-gate_2-0001'
    """
    return f"{kind}-{_NOT_IN_A_NAME.sub('_', name)[:LONGEST_NAME]}"


def free_sheets(folder: Path, kind: str, name: str, suffixes: tuple[str, ...]) -> tuple[Path, ...]:
    """Return names for the sheets of an act that no file has yet: a sheet is never written over another.

    Args:
        folder: The yard's.
        kind: What they are, such as "handover".
        name: Run or tag; what cannot stand in the name of a file becomes a line.
        suffixes: Of each sheet, such as ".txt".
    """
    stem = sheet_stem(kind, name)
    number = 1
    while True:
        files = tuple(folder / f"{stem}{'' if number == 1 else f'-{number}'}{suffix}" for suffix in suffixes)
        if not any(file.exists() or file.is_symlink() for file in files):
            return files
        number += 1


def mark_sheets_without_row(folder: Path, kind: str, name: str) -> None:
    """Mark the sheets of an act that no row made: the process was killed between the sheet and its row."""
    stem = sheet_stem(kind, name)
    for file in sorted(folder.glob(f"{stem}.*")) + sorted(folder.glob(f"{stem}-[0-9].*")):
        if file.suffix not in (".txt", ".html") or MARK in file.name:
            continue
        with suppress(OSError):
            said = f"<p><b>{NOT_IN_LEDGER}</b></p>" if file.suffix == ".html" else NOT_IN_LEDGER
            (marked,) = free_sheets(folder, kind, f"{file.stem[len(kind) + 1 :]}{MARK}", (file.suffix,))
            replace_whole(marked, f"{said}\n{file.read_text(encoding='utf-8', errors='replace')}")
            file.unlink()


@contextmanager
def sheets_of_an_act(*files: Path) -> Iterator[None]:
    """Take the sheets away again when the act that they belong to comes to nothing."""
    try:
        yield
    except BaseException:
        for file in files:
            with suppress(OSError):
                file.unlink(missing_ok=True)
        raise


def write_or_refuse(file: Path, text: str, otherwise: str) -> None:
    """Write a sheet; meant for inside the act that it belongs to, which is then not written either.

    Args:
        file: The sheet.
        text: What stands on it.
        otherwise: What did not happen if it cannot be written, a sentence.

    Raises:
        DeskRefusal: The disk refused.
    """
    try:
        replace_whole(file, text)
    except OSError as error:
        raise DeskRefusal(
            f"{file} could not be written ({error.strerror}). {otherwise} Make room or give yourself write "
            "permission on the folder, and do it again."
        ) from error
