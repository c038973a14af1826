"""What the desk knows before any piece lies on it: grades, names, yard."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from console.ground.dates import use_zone
from console.ground.private_files import share
from console.office.words.yard_said import yard_as_it_stands
from console.yard.yard import Yard
from grade_library.library import GradeLibrary, load
from grade_library.matcher.prior import Prior
from grade_library.naming.names import NameIndex
from grade_library.technique import Profile, profiles

YARD_FILE, STORE_FILE = "yard.toml", "yard.sqlite3"
GRADES_FILE = "grades.toml"
"""The yard's own grades, beside yard.toml; may be missing."""
USUAL_TECHNIQUE = "xrf"
"""Technique of a reading that names none, where no yard says otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The grade library, its names, and the yard where there is one."""

    library: GradeLibrary
    names: NameIndex
    yard: Yard | None = None
    taught: GradeLibrary | None = None
    """The grades with the residuals that settled loads taught; None where they taught nothing."""
    prior: Prior | None = None
    """How often each grade is met here; None for the usual frequencies."""
    profiles: Mapping[str, Profile] | None = None
    """Technique profiles as they are now; None for those of the yard."""
    doubts: tuple[str, ...] = ()
    """Why readings count less now; empty while the analyser is in control."""
    unchecked: Mapping[str, str] = field(default_factory=dict)
    """Technique -> why its readings settle nothing now; empty while every analyser is in control."""

    @property
    def matched(self) -> GradeLibrary:
        """The grades as the matcher takes them."""
        return self.library if self.taught is None else self.taught

    @property
    def techniques(self) -> Mapping[str, Profile]:
        """Technique profiles by name as they are now, the yard's own among them."""
        if self.profiles is not None:
            return self.profiles
        return self.yard.techniques if self.yard else profiles()

    @property
    def technique(self) -> str:
        """Technique of a reading that names none."""
        return self.yard.technique if self.yard else USUAL_TECHNIQUE


def load_yard_and_library(folder: Path) -> tuple[Yard, GradeLibrary]:
    """Return the yard of a folder and the grades it knows; its time zone counts from now on.

    Raises:
        YardFileError: yard.toml is missing or wrong.
        GradeDataError: The yard's own grade file is wrong.
        StoreError: The store, in which the office's words lie, cannot be read.
    """
    library = load(folder / GRADES_FILE)
    yard = yard_as_it_stands(folder, folder / STORE_FILE, library)
    use_zone(yard.time_zone)
    if yard.shared:
        share()
    return yard, library


def open_yardless(folder: Path | None) -> Known:
    """Return what is known with or without a yard; `folder` None or without yard.toml is no yard.

    Raises:
        YardFileError: There is a yard.toml and it is wrong.
    """
    if folder is not None and (folder / YARD_FILE).is_file():
        yard, library = load_yard_and_library(folder)
        return Known(library=library, names=NameIndex(library), yard=yard)
    library = load(folder / GRADES_FILE if folder else None)
    return Known(library=library, names=NameIndex(library))
