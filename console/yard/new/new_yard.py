"""Makes a yard.toml from the answers to a few questions."""

import os
import string
import tomllib
from collections.abc import Mapping
from importlib import resources
from pathlib import Path

import tomli_w

from console.ground.durable import onto_disk
from console.yard.errors import YardFileError
from console.yard.file.yard_file import YARD_FILE, yard_from
from console.yard.new.new_yard_questions import listed, questions
from console.yard.new.templates import templates
from grade_library.library import load

_FORM = "new_yard_form.toml"
HOLD = "hold"
"""The template that every yard needs."""


def usual_answers() -> dict[str, str]:
    """Return the answers of somebody who takes every default."""
    answers: dict[str, str] = {}
    for question in questions():
        answers[question.key] = question.check(question.usual_with(answers), answers)
    return answers


def yard_text(answers: Mapping[str, str]) -> str:
    """Return a commented yard.toml.

    Args:
        answers: Key of a question -> the answer as typed; a question that is missing takes its default.

    Raises:
        AnswerError: An answer is wrong; it names the question.
    """
    checked: dict[str, str] = {}
    for question in questions():
        typed = answers.get(question.key, question.usual_with(checked))
        checked[question.key] = question.check(typed, checked)
    chosen = [name for name in listed(checked.pop("bays")) if name in templates()]
    values = {key: _toml(text) for key, text in checked.items()}
    values["people"] = f"[{', '.join(_toml(name) for name in listed(checked['people']))}]"
    form = (resources.files("console.yard.new") / _FORM).read_text("utf-8")
    head = string.Template(form).substitute(values)
    return "\n".join([head, *(templates()[name].text for name in (*chosen, HOLD))])


def _toml(text: str) -> str:
    """Return a text as TOML writes it, whatever signs are in it."""
    return tomli_w.dumps({"x": text}).removeprefix("x = ").rstrip("\n")


def write_new_yard(folder: Path, answers: Mapping[str, str]) -> Path:
    """Write a yard.toml that loads, whole or not at all; return the file.

    Args:
        folder: Where the yard shall live; made where it is missing.
        answers: As for `yard_text`.

    Raises:
        AnswerError: An answer is wrong.
        YardFileError: There is a yard.toml already, or the folder cannot be written to.
    """
    refuse_taken(folder)
    text = yard_text(answers)
    # What does not load is a fault of ours and never reaches the disk.
    yard_from(tomllib.loads(text), folder, load())
    made = [path for path in (folder, *folder.parents) if not path.exists()]
    file = folder / YARD_FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _write(file, text)
    except FileExistsError as error:
        raise _taken(file) from error
    except OSError as error:
        _take_away(made)
        raise YardFileError(f"{file} cannot be written: {error.strerror}. Nothing was written.") from error
    except BaseException:
        _take_away(made)
        raise
    return file


def refuse_taken(folder: Path) -> None:
    """Check that a yard can be made in a folder, before anybody is asked anything.

    Raises:
        YardFileError: It holds a yard already, or is no folder.
    """
    if (folder / YARD_FILE).exists():
        raise _taken(folder / YARD_FILE)
    first = next((path for path in (folder, *folder.parents) if path.exists()), None)
    if first is not None and not first.is_dir():
        raise YardFileError(f"{first} is a file: name a folder, which is made where it is missing.")


def _taken(file: Path) -> YardFileError:
    return YardFileError(f"{file} is there already and stays as it is: change it, or name another folder.")


def _write(file: Path, text: str) -> None:
    """Write a file that is not there yet; a power cut or an interruption leaves the whole file or none."""
    part = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        with part.open("x", encoding="utf-8") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        _rename_new(part, file)
    finally:
        part.unlink(missing_ok=True)
    onto_disk(file.parent)


def _rename_new(part: Path, file: Path) -> None:
    """Give the part its name unless somebody took that meanwhile.

    Raises:
        FileExistsError: Somebody did.
    """
    try:
        os.link(part, file)
    except FileExistsError:
        raise
    except OSError:
        # Some file systems of sticks and shares know no hard links.
        if file.exists():
            raise FileExistsError(file) from None
        part.rename(file)


def _take_away(made: list[Path]) -> None:
    """Remove the folders that were made, innermost first, as far as they are empty."""
    for path in made:
        try:
            path.rmdir()
        except OSError:
            return
