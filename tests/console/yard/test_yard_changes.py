"""What the program writes into yard.toml: only what was asked, whole or not at all."""

import os
import tomllib
from pathlib import Path

import pytest

from console.yard.errors import YardFileError
from console.yard.file.yard_changes import set_emergency_number, set_person
from console.yard.file.yard_file import load_yard
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import SMALL_YARD, spoil


def test_a_person_is_added_and_the_rest_stays(folder: Path, library: GradeLibrary) -> None:
    set_person(folder, " Marit ")

    assert load_yard(folder, library).people == ("Ilse", "Jory", "Marit")
    text = (folder / "yard.toml").read_text(encoding="utf-8")
    assert "# the yard's own words" in text
    assert {**tomllib.loads(SMALL_YARD), "people": ["Ilse", "Jory", "Marit"]} == tomllib.loads(text)


def test_a_person_who_is_there_changes_nothing(folder: Path) -> None:
    set_person(folder, "Jory")

    assert (folder / "yard.toml").read_text(encoding="utf-8") == SMALL_YARD


def test_the_emergency_number_is_set(folder: Path, library: GradeLibrary) -> None:
    set_emergency_number(folder, "0123 456")

    assert load_yard(folder, library).emergency_number == "0123 456"


def test_a_missing_key_is_added_at_the_top(folder: Path, library: GradeLibrary) -> None:
    spoil(folder, 'emergency_number = ""\n', "")

    set_emergency_number(folder, "0123 456")

    assert load_yard(folder, library).emergency_number == "0123 456"


def test_a_list_over_several_lines_is_replaced_whole(folder: Path, library: GradeLibrary) -> None:
    spoil(folder, 'people = ["Ilse", "Jory"]', 'people = [\n  "Ilse",  # mornings\n  "Jory",\n]')

    set_person(folder, 'Tavi "T"')

    assert load_yard(folder, library).people == ("Ilse", "Jory", 'Tavi "T"')


def test_an_unusual_spelling_is_written_anew_and_the_old_file_kept(
    folder: Path, library: GradeLibrary
) -> None:
    spoil(folder, "people =", '"people" =')
    before = (folder / "yard.toml").read_text(encoding="utf-8")

    set_person(folder, "Marit")

    assert load_yard(folder, library).people == ("Ilse", "Jory", "Marit")
    assert (folder / "yard.toml.before").read_text(encoding="utf-8") == before


def test_nothing_is_left_behind_and_the_old_file_stays_when_writing_fails(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk leaves the old file whole."""

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)

    with pytest.raises(YardFileError, match=r"No space left on device\. Nothing was changed"):
        set_person(folder, "Marit")

    assert (folder / "yard.toml").read_text(encoding="utf-8") == SMALL_YARD
    assert [file.name for file in folder.iterdir()] == ["yard.toml"]


def test_a_person_without_a_name_is_refused(folder: Path) -> None:
    with pytest.raises(YardFileError, match="at least one character"):
        set_person(folder, "  ")


def test_rights_of_the_file_stay(folder: Path) -> None:
    (folder / "yard.toml").chmod(0o640)

    set_person(folder, "Marit")

    assert (folder / "yard.toml").stat().st_mode & 0o777 == 0o640
