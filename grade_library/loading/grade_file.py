"""Reads one TOML file of grades; data/README.md tells how it is written."""

import re
import tomllib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from grade_library.grade import GROUPS, Colour, Grade, MagneticClass
from grade_library.loading.citation_reader import merged_sources, read_citations, read_differences
from grade_library.loading.composition_reader import read_limits, read_others
from grade_library.loading.limit_checks import limit_problems
from grade_library.loading.sources import nearest
from grade_library.loading.table_reader import TableReader

KEYS = (
    *("family", "group", "series", "base", "uns", "en", "names", "near_names", "limits", "sums", "others"),
    *(
        "density",
        "iacs",
        "iacs_by_temper",
        "magnet",
        "colour",
        "look",
        "spark",
        "cast",
        "forms",
        "scrap",
        "cautions",
    ),
    *("differs", "sources", "note"),
)
"""Every key of a grade, in the order in which a file states them."""

_REQUIRED = ("family", "group", "base", "limits", "density", "magnet", "colour")
_UNS = re.compile(r"[A-Z]\d{5}")
_CONDUCTIVITY = re.compile(r"(\d+(?:\.\d+)?)(?:\s*[-–]\s*(\d+(?:\.\d+)?))?")
_MOST_IACS_PCT = 110.0
"""Silver reaches about 108 % IACS (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FileContent:
    """What one file holds: the sound grades, and what is wrong with the others."""

    grades: tuple[Grade, ...]
    problems: tuple[str, ...]


def read_grades(file_name: str, text: str, source_ids: Collection[str]) -> FileContent:
    """Return the grades of one file of the library and a message for each fault in it.

    Args:
        file_name: Named in messages.
        text: Content of the file, TOML.
        source_ids: Ids that a citation may name.
    """
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return FileContent(
            grades=(), problems=(f"{file_name}: not valid TOML: {error}{_toml_hint(text, error)}",)
        )
    return read_content(
        file_name,
        content,
        lambda _, head, table: {**head, **table, "sources": merged_sources(head, table)},
        source_ids,
        "library",
    )


def read_content(
    file_name: str,
    content: Mapping[str, Any],
    whole: Callable[[str, Mapping[str, Any], Mapping[str, Any]], Mapping[str, Any]],
    source_ids: Collection[str],
    owner: str,
) -> FileContent:
    """Return the grades of a file that was read as TOML, and a message for each fault in it.

    Args:
        file_name: Named in messages.
        content: The head of the file, and a table for each grade.
        whole: Makes the whole table of a grade of its id, the head and the table as written.
        source_ids: Ids that a citation may name.
        owner: Whose grades these are: "library" or "yard".
    """
    head = {key: value for key, value in content.items() if key in KEYS or not isinstance(value, dict)}
    problems = [f"{file_name}, head: {problem}" for problem in key_problems(head)]
    grades = []
    for grade_id, table in content.items():
        if grade_id in head:
            continue
        reader = TableReader(whole(grade_id, head, table))
        for problem in key_problems(table):
            reader.fault(problem)
        grade = read_grade(grade_id, reader, source_ids, owner)
        problems += [f'{file_name}, grade "{grade_id}"{problem}' for problem in reader.problems]
        if grade is not None:
            grades.append(grade)
    return FileContent(grades=tuple(grades), problems=tuple(problems))


def key_problems(table: Mapping[str, Any]) -> list[str]:
    """Return a message for each key that a grade file does not know, with the nearest known one."""
    return [
        f'unknown key "{key}"{nearest(key, KEYS)}; known: {", ".join(KEYS)}'
        for key in table
        if key not in KEYS
    ]


def _toml_hint(text: str, error: tomllib.TOMLDecodeError) -> str:
    """Return a hint for the slip that people make most: a dotted source key without quotes."""
    at_line = re.search(r"at line (\d+)", str(error))
    lines = text.splitlines()
    line = lines[int(at_line[1]) - 1] if at_line and int(at_line[1]) <= len(lines) else ""
    if re.search(r"[{,]\s*\w+\.\w+\s*=", line):
        return '; write a dotted key of sources in quotes: "limits.N" = "memory"'
    return ""


def read_grade(grade_id: str, reader: TableReader, source_ids: Collection[str], owner: str) -> Grade | None:
    """Return the grade of one table, file head included; None after noting what is wrong with it."""
    for key in _REQUIRED:
        if key not in reader.table:
            reader.fault(f"{key} is missing; state it in the grade or in the file head")
    fields = {
        **_names(reader),
        **_composition(reader),
        **_physical_facts(reader),
        "sources": read_citations(reader, source_ids),
        "differences": read_differences(reader, source_ids),
    }
    if reader.problems:
        return None
    fields["magnet"] = MagneticClass(fields["magnet"])
    fields["colour"] = Colour(fields["colour"])
    for key in ("limits", "sums", "sources"):
        fields[key] = MappingProxyType(fields[key])
    return Grade(grade_id=grade_id, owner=owner, **fields)


def _names(reader: TableReader) -> dict[str, Any]:
    family = reader.text("family")
    uns = reader.text("uns")
    if uns and not _UNS.fullmatch(uns):
        reader.fault(f'"{uns}" needs one capital letter and five figures, such as "S30400"', "uns")
    return {
        "family": family,
        "group": reader.choice("group", GROUPS),
        "series": reader.text("series") or family,
        "uns": uns or None,
        "en": reader.texts("en"),
        "names": reader.texts("names"),
        "near_names": reader.texts("near_names"),
        "cautions": reader.texts("cautions"),
        "note": reader.text("note"),
    }


def _composition(reader: TableReader) -> dict[str, Any]:
    base = reader.text("base")
    limits, sums, others = read_limits(reader, "limits"), read_limits(reader, "sums"), read_others(reader)
    for symbol, problem in limit_problems(limits, sums, base, others.get("total")):
        reader.fault(problem, symbol)
    return {
        "base": base,
        "limits": limits,
        "sums": sums,
        "others_each": others.get("each"),
        "others_total": others.get("total"),
    }


def _physical_facts(reader: TableReader) -> dict[str, Any]:
    iacs_low_pct, iacs_high_pct = _conductivity(reader)
    return {
        "density_g_cm3": reader.number("density", 0.5, 23.0, "g/cm3"),
        "iacs_low_pct": iacs_low_pct,
        "iacs_high_pct": iacs_high_pct,
        "iacs_by_temper": reader.text("iacs_by_temper"),
        "magnet": reader.choice("magnet", [magnet.value for magnet in MagneticClass]),
        "colour": reader.choice("colour", [colour.value for colour in Colour]),
        "look": reader.text("look"),
        "spark": reader.text("spark"),
        "is_cast": reader.flag("cast"),
        "forms": reader.texts("forms"),
        "scrap": reader.texts("scrap"),
    }


def _conductivity(reader: TableReader) -> tuple[float | None, float | None]:
    """Return least and most conductivity [% IACS], None for each when none is stated."""
    if "iacs" not in reader.table:
        return None, None
    value = str(reader.table["iacs"]).strip()
    found = _CONDUCTIVITY.fullmatch(value)
    low, high = (float(found[1]), float(found[2] or found[1])) if found else (1.0, 0.0)
    if not 0.0 < low <= high <= _MOST_IACS_PCT:
        reader.fault(
            f'"{value}" needs "low-high" in % IACS, such as "30-50", up to {_MOST_IACS_PCT:g}', "iacs"
        )
    return low, high
