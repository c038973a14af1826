"""Writes the few things in yard.toml that the program changes: people, emergency number."""

import tomllib
from pathlib import Path
from typing import Any

import tomli_w

from console.ground.cleaning import clean
from console.ground.durable import replace_whole
from console.yard.errors import YardFileError
from console.yard.file.yard_file import YARD_FILE, read_toml

COPY_SUFFIX = ".before"
"""Ending of the copy that is kept when a change could not keep the file's comments."""
_LONGEST_TEXT = 80


def set_person(folder: Path, person: str) -> None:
    """Add a person to yard.toml; nothing changes when the name is there.

    Raises:
        YardFileError: The name is empty, or the file cannot be read or written.
    """
    name = clean(person, _LONGEST_TEXT).strip()
    if not name:
        raise YardFileError("A person needs a name of at least one character.")
    content = read_toml(folder / YARD_FILE)
    people = list(content.get("people", []))
    if name not in people:
        _change(folder, content, "people", [*people, name])


def set_emergency_number(folder: Path, number: str) -> None:
    """Set the number that is shown with cautions; an empty one takes it away.

    Raises:
        YardFileError: The file cannot be read or written.
    """
    content = read_toml(folder / YARD_FILE)
    _change(folder, content, "emergency_number", clean(number, _LONGEST_TEXT).strip())


def _change(folder: Path, content: dict[str, Any], key: str, value: Any) -> None:
    """Set one top-level key, comments kept where that can be done safely."""
    file = folder / YARD_FILE
    wanted = {**content, key: value}
    if wanted == content:
        return
    before = file.read_text(encoding="utf-8")
    text = _with_key_replaced(before, key, value, wanted)
    if text is None:
        _write(file.with_name(file.name + COPY_SUFFIX), before)
        text = tomli_w.dumps(wanted)
    _write(file, text)


def _with_key_replaced(text: str, key: str, value: Any, wanted: dict[str, Any]) -> str | None:
    """Return the text with only this key's lines changed; None when that cannot be done."""
    lines = text.splitlines(keepends=True)
    new = tomli_w.dumps({key: value})
    head = next((i for i, line in enumerate(lines) if line.lstrip().startswith("[")), len(lines))
    start = next((i for i in range(head) if lines[i].split("=")[0].strip() == key), None)
    tries = []
    if start is None:
        tries.append("".join([new, *lines]))
    else:
        for end in range(start + 1, len(lines) + 1):
            if end > start + 1 and end - 1 >= head and lines[end - 1].lstrip().startswith("[["):
                break
            tries.append("".join([*lines[:start], new, *lines[end:]]))
    for candidate in tries:
        try:
            if tomllib.loads(candidate) == wanted:
                return candidate
        except tomllib.TOMLDecodeError:
            continue
    return None


def _write(file: Path, text: str) -> None:
    """Write a file so that a power cut leaves the old or the new one whole."""
    try:
        replace_whole(file.resolve(), text)
    except OSError as error:
        raise YardFileError(f"{file} cannot be written: {error.strerror}. Nothing was changed.") from error
