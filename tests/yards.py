"""Yards for tests."""

from pathlib import Path

from console.yard.file.yard_file import YARD_FILE, read_toml, yard_from
from console.yard.yard import Yard
from grade_library.library import GradeLibrary


def load_yard(folder: Path, library: GradeLibrary) -> Yard:
    """Return the yard that a folder's yard.toml describes, without the office's word or the ledger's."""
    return yard_from(read_toml(folder / YARD_FILE), folder, library)
