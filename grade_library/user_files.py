"""The one door for files that a user wrote: plain files only, of a limited size, checked and cleaned."""

import json
import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

from grade_library.cleaning import clean
from grade_library.errors import BaywrightError

MOST_BYTES = 2_000_000
"""A yard.toml of a thousand bays has some 300,000."""
DEEPEST = 12
"""Tables in tables; ours go four deep."""
LONGEST_TEXT = 20_000
LARGEST_NUMBER = 10**15


class UserFileError(BaywrightError, ValueError):
    """A file cannot be used; the message names file and place, and says what would be right."""


def read_bytes(file: Path, most: int = MOST_BYTES) -> bytes:
    """Return what a plain file holds.

    Args:
        file: The file; a link to a plain file will do.
        most: Bytes that it may have.

    Raises:
        OSError: It is not there or not readable.
        UserFileError: It is a pipe, device or folder, or larger.
    """
    # Not blocking: opening a pipe would else wait for somebody to write into it, for ever.
    descriptor = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(descriptor, "rb") as stream:
        found = os.fstat(descriptor)
        if not stat.S_ISREG(found.st_mode):
            raise UserFileError(
                f"{file}: is no plain file but a pipe, a device or a folder; name a plain file"
            )
        content = stream.read(most + 1) if found.st_size <= most else b""
        if found.st_size > most or len(content) > most:
            raise UserFileError(f"{file}: larger than {most / 1e6:g} MB; no such file is, look what it holds")
    return content


def read_text(file: Path, most: int = MOST_BYTES, *, errors: str = "strict") -> str:
    """Return the UTF-8 text of a plain file; see `read_bytes`.

    Raises:
        OSError: It is not there or not readable.
        UserFileError: It is no plain file, too large, or no UTF-8.
    """
    try:
        return read_bytes(file, most).decode("utf-8-sig", errors)
    except UnicodeDecodeError as error:
        where = f"{file}: byte {error.start + 1}"
        raise UserFileError(f"{where} is not UTF-8 text; save the file as UTF-8.") from None


def read_toml(file: Path, most: int = MOST_BYTES) -> dict[str, Any]:
    """Return what a TOML file says, with every text and key cleaned.

    Raises:
        OSError: It is not there or not readable.
        UserFileError: It is no plain file, too large, no TOML, or holds what no such file needs.
    """
    import tomllib  # 8 ms that the first picture should not pay

    table: dict[str, Any] = _loaded(file, read_text(file, most), tomllib.loads, "TOML")
    return table


def read_json(file: Path, most: int = MOST_BYTES) -> Any:
    """Return what a JSON file says, with every text and key cleaned.

    Raises:
        OSError: It is not there or not readable.
        UserFileError: It is no plain file, too large, no JSON, or holds what no such file needs.
    """
    return _loaded(file, read_text(file, most), json.loads, "JSON")


def toml_of(text: str, place: str) -> dict[str, Any]:
    """Return what a text of TOML says that is no file of its own, checked and cleaned as a file is.

    Args:
        text: The text.
        place: Where it stands, for messages.

    Raises:
        UserFileError: It is no TOML, or holds what no such file needs.
    """
    import tomllib  # as above

    table: dict[str, Any] = _loaded(place, text, tomllib.loads, "TOML")
    return table


def _loaded(file: Path | str, text: str, load: Callable[[str], Any], form: str) -> Any:
    try:
        return _checked(load(text), str(file), 0)
    except RecursionError:
        raise UserFileError(f"{file}: brackets within brackets, too deep; at most {DEEPEST} levels") from None
    except UserFileError:
        raise
    except ValueError as error:
        # Also a number of so many digits that Python refuses to read it.
        raise UserFileError(f"{file}: not valid {form}: {clean(str(error), 200)}") from None


def _checked(value: Any, place: str, depth: int) -> Any:
    """Return the value with its texts cleaned."""
    if depth > DEEPEST:
        raise UserFileError(f"{place}: tables within tables, too deep; at most {DEEPEST} levels")
    match value:
        case dict():
            return {
                clean(key, 200): _checked(item, f"{place}, {clean(key, 60)}", depth + 1)
                for key, item in value.items()
            }
        case list():
            return [_checked(item, f"{place}, {at}", depth + 1) for at, item in enumerate(value, start=1)]
        case str() if len(value) > LONGEST_TEXT:
            raise UserFileError(f"{place}: {len(value)} characters; at most {LONGEST_TEXT}")
        case str():
            return "\n".join(clean(line) for line in value.split("\n"))
        case bool():
            return value
        case int() if abs(value) > LARGEST_NUMBER:
            raise UserFileError(f"{place}: a number beyond any measure; at most {LARGEST_NUMBER:g}")
    return value
