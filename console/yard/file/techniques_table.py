"""Reads the [techniques.NAME] tables of yard.toml: how well the yard's own analysers read."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from console.entry.parse import parse_line
from console.entry.token_kind import TokenKind
from console.ground.cleaning import clean
from console.yard.errors import YardFileError
from console.yard.file.fields import Fields
from console.yard.file.selectors import Selectors
from grade_library.elements import ELEMENTS
from grade_library.errors import GradeDataError
from grade_library.technique import Profile, profiles, profiles_from

LONGEST_NAME = 20
"""A name is typed on the entry line [characters]."""
UNIT_WORDS = frozenset({"kg", "kgs", "gr", "lb", "lbs", "ton", "pc", "pcs", "nd", "lod", "off"})
"""Units and counts that stand beside a number on the entry line: no name for anything else."""


def techniques_from(file: Fields, selectors: Selectors | None = None) -> Mapping[str, Profile]:
    """Return the techniques that the yard knows: the shipped ones with its own laid over them.

    Without a table the shipped profiles come back as the same object: what follows from a profile is kept by
    its identity.

    Args:
        file: The whole file.
        selectors: Names of metals, which no technique may hide on the entry line; None leaves them out.

    Raises:
        YardFileError: A name, an element or a figure is wrong; the message names table and element.
    """
    tables = file.sub("techniques").table
    found = profiles()
    seen: dict[str, str] = {}
    for written, content in tables.items():
        name = written.casefold()
        why = _why_not_a_name(name, selectors)
        if name in seen:
            why = f'the same as "{seen[name]}"; capitals do not count'
        if why:
            raise YardFileError(f"{file.place}, techniques.{clean(written, LONGEST_NAME)}: {why}")
        seen[name] = written
        try:
            found = profiles_from({name: _cleaned(content)}, found)
        except GradeDataError as error:
            said = str(error).removeprefix(f"technique {name}")
            raise YardFileError(f"{file.place}, techniques.{written}{clean(said)}") from error
    return found if tables else profiles()


def _why_not_a_name(name: str, selectors: Selectors | None) -> str:
    """Return why a technique cannot be typed by this name; empty where it can."""
    if name in profiles():
        return ""
    plain = name.replace("-", "")
    if not (2 <= len(name) <= LONGEST_NAME and plain.isascii() and plain.isalnum() and name[0].isalpha()):
        return f"a name has 2 to {LONGEST_NAME} letters, figures and dashes, and begins with a letter"
    (token,) = parse_line(name, names=None, yard=None).tokens
    if token.kind is not TokenKind.UNKNOWN:
        return f'"{name}" already means "{token.meaning}" on an entry line; take another name'
    if name.capitalize() in ELEMENTS:
        return f'"{name}" is the symbol of {ELEMENTS[name.capitalize()].name}; take another name'
    if name in UNIT_WORDS or name == "sources":
        return f'"{name}" already has a meaning; take another name'
    if selectors is not None and (kind := selectors.kind_named(name)):
        return f'"{name}" names a {kind} of the grade library on an entry line; take another name'
    return ""


def _cleaned(content: Any) -> Any:
    """Return what a table holds with its texts made safe for a terminal, all the way down."""
    if isinstance(content, str):
        return clean(content)
    if isinstance(content, Mapping):
        return MappingProxyType({key: _cleaned(value) for key, value in content.items()})
    if isinstance(content, list):
        return [_cleaned(item) for item in content]
    return content
