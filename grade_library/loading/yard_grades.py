"""The yard's own grade file: adds grades, and overrides shipped ones value by value."""

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Any

from grade_library import user_files
from grade_library.errors import GradeDataError
from grade_library.grade import Grade
from grade_library.loading.citation_reader import BLOCKS
from grade_library.loading.grade_file import read_content
from grade_library.loading.grade_table import TABLE_KEYS, grade_table
from grade_library.loading.sources import YARD_SOURCE
from grade_library.loading.yard_clashes import changed_values, shared_names


def read_yard_grades(
    file: Path, shipped: Mapping[str, Grade], source_ids: Collection[str]
) -> tuple[tuple[Grade, ...], tuple[str, ...]]:
    """Return the yard's grades, and in words where they disagree with the shipped ones.

    Args:
        file: TOML in the form of the shipped grade files. A table with the id of a shipped grade changes only
            what it states; single limits are changed one by one.
        shipped: Grade id -> grade.
        source_ids: Ids that a citation may name.

    Raises:
        GradeDataError: The file cannot be read or is wrong; a line for each fault.
    """

    def whole(grade_id: str, head: Mapping[str, Any], table: Mapping[str, Any]) -> Mapping[str, Any]:
        old = shipped.get(grade_id)
        return _overlaid(grade_table(old), table) if old else _with_sources({**head, **table})

    found = read_content(file.name, _read_file(file), whole, source_ids, "yard")
    if found.problems:
        raise GradeDataError("\n".join(found.problems))
    clashes: list[str] = []
    for grade in found.grades:
        old = shipped.get(grade.grade_id)
        clashes += changed_values(old, grade) if old else shared_names(grade, shipped)
    return found.grades, tuple(clashes)


def _read_file(file: Path) -> dict[str, Any]:
    try:
        return user_files.read_toml(file)
    except user_files.UserFileError as error:
        raise GradeDataError(str(error)) from None
    except OSError as error:
        raise GradeDataError(f"{file}: cannot be read: {error.strerror}") from None


def _overlaid(old: dict[str, Any], new: Mapping[str, Any]) -> dict[str, Any]:
    """Return the shipped table with the yard's values in place, each cited as the yard's or as it says."""
    merged = {**old, **{key: value for key, value in new.items() if key != "sources"}}
    sources = dict(old.get("sources", {}))
    for key in TABLE_KEYS:
        if isinstance(new.get(key), dict):
            merged[key] = {**old.get(key, {}), **new[key]}
            sources.update({f"{key}.{value}": YARD_SOURCE for value in new[key]})
    sources.update({key: YARD_SOURCE for key in new if key in BLOCKS and key not in TABLE_KEYS})
    own = new.get("sources", {})
    merged["sources"] = {**sources, **own} if isinstance(own, dict) else own
    return merged


def _with_sources(table: dict[str, Any]) -> dict[str, Any]:
    """Return the table of a new grade, with every block that has no source cited as the yard's."""
    own = table.get("sources", {})
    if not isinstance(own, dict):
        return table
    return {**table, "sources": {**{key: YARD_SOURCE for key in table if key in BLOCKS}, **own}}
