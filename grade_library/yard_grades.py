"""The yard's own grade file: adds grades, overrides shipped ones value by value, and says where the two disagree."""

import tomllib
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path
from typing import Any

import tomli_w

from grade_library.citation_reader import BLOCKS
from grade_library.errors import GradeDataError
from grade_library.grade import Grade
from grade_library.grade_file import KEYS, key_problems, read_grade
from grade_library.grade_table import grade_table
from grade_library.name_text import squash
from grade_library.table_reader import TableReader

YARD_SOURCE = "yard"
"""Source id of every value that the yard states without naming another source."""
_TABLE_KEYS = ("limits", "sums", "others")


def read_yard_grades(
    file: Path, shipped: Mapping[str, Grade], source_ids: Collection[str]
) -> tuple[tuple[Grade, ...], tuple[str, ...]]:
    """Return the yard's grades, and in words where they disagree with the shipped ones.

    Args:
        file: TOML in the form of the shipped grade files. A table with the id of a shipped grade changes only what
            it states; single limits are changed one by one.
        shipped: Grade id -> grade.
        source_ids: Ids that a citation may name.

    Raises:
        GradeDataError: The file cannot be read or is wrong; a line for each fault.
    """
    content = _read_file(file)
    head = {key: value for key, value in content.items() if key in KEYS or not isinstance(value, dict)}
    problems = [f"{file.name}, head: {problem}" for problem in key_problems(head)]
    grades: list[Grade] = []
    clashes: list[str] = []
    for grade_id, table in content.items():
        if grade_id in head:
            continue
        old = shipped.get(grade_id)
        reader = TableReader(_overlaid(grade_table(old), table) if old else _with_sources({**head, **table}))
        for problem in key_problems(table):
            reader.fault(problem)
        grade = read_grade(grade_id, reader, source_ids, "yard")
        problems += [f'{file.name}, grade "{grade_id}"{problem}' for problem in reader.problems]
        if grade is not None:
            grades.append(grade)
            clashes += _changes(old, grade) if old else _shared_names(grade, shipped)
    if problems:
        raise GradeDataError("\n".join(problems))
    return tuple(grades), tuple(clashes)


def _read_file(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text("utf-8"))
    except OSError as error:
        raise GradeDataError(f"{file}: cannot be read: {error.strerror}") from None
    except UnicodeDecodeError as error:
        raise GradeDataError(f"{file}: not UTF-8 text: {error}; save it as UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise GradeDataError(f"{file}: not valid TOML: {error}") from None


def _overlaid(old: dict[str, Any], new: Mapping[str, Any]) -> dict[str, Any]:
    """Return the shipped table with the yard's values in their places, each cited as the yard's or as it says."""
    merged = {**old, **{key: value for key, value in new.items() if key != "sources"}}
    sources = dict(old.get("sources", {}))
    for key in _TABLE_KEYS:
        if isinstance(new.get(key), dict):
            merged[key] = {**old.get(key, {}), **new[key]}
            sources.update({f"{key}.{value}": YARD_SOURCE for value in new[key]})
    sources.update({key: YARD_SOURCE for key in new if key in BLOCKS and key not in _TABLE_KEYS})
    own = new.get("sources", {})
    merged["sources"] = {**sources, **own} if isinstance(own, dict) else own
    return merged


def _with_sources(table: dict[str, Any]) -> dict[str, Any]:
    """Return the table of a new grade, with every block that has no source cited as the yard's."""
    own = table.get("sources", {})
    if not isinstance(own, dict):
        return table
    return {**table, "sources": {**{key: YARD_SOURCE for key in table if key in BLOCKS}, **own}}


def _changes(old: Grade, new: Grade) -> Iterator[str]:
    """Yield in words what the yard states otherwise than the shipped grade."""
    before, after = grade_table(old), grade_table(new)
    for key in KEYS:
        if key == "sources" or before.get(key) == after.get(key):
            continue
        if key in _TABLE_KEYS:
            was, now = before.get(key, {}), after.get(key, {})
            for value in sorted({*was, *now}, key=list({**was, **now}).index):
                if was.get(value) != now.get(value):
                    yield f"{old.grade_id}, {value}: the yard says {_said(now.get(value))}, {_by(old, key, was, value)}"
        else:
            yield f"{old.grade_id}, {key}: the yard says {_said(after.get(key))}, {_by(old, key, before, key)}"


def _by(old: Grade, block: str, was: Mapping[str, Any], key: str) -> str:
    """Return what the library says, and by which source."""
    if key not in was:
        return "the library nothing"
    value = block if block == key else f"{block}.{key}"
    is_cited = value in old.sources or block in old.sources
    return f"the library {_said(was[key])}" + (f" ({old.citation_for(value).source_id})" if is_cited else "")


def _said(value: object) -> str:
    if value is None:
        return "nothing"
    return ", ".join(str(entry) for entry in value) if isinstance(value, list) else str(value)


def _shared_names(new: Grade, shipped: Mapping[str, Grade]) -> Iterator[str]:
    """Yield in words which shipped grades a new grade's names or limits belong to already."""
    own = {squash(name): name for name in (new.grade_id, new.uns or "", *new.en, *new.names) if name}
    for grade in shipped.values():
        taken = [
            name
            for name in (grade.grade_id, grade.uns or "", *grade.en, *grade.names)
            if squash(name) in own and name
        ]
        if taken:
            yield f'{new.grade_id}: the name "{own[squash(taken[0])]}" is also {grade.grade_id} of the library'
        if grade.limits == new.limits and grade.sums == new.sums:
            yield f"{new.grade_id}: has the same limits as {grade.grade_id} of the library"


def new_grade_template(name: str) -> str:
    """Return a commented table for a new grade, ready to append to the yard's grade file.

    Args:
        name: Id of the new grade, as shown everywhere.

    Raises:
        GradeDataError: The name is empty or a word that the file itself uses.

    >>> print(new_grade_template("customer alloy 7").splitlines()[0])
    ["customer alloy 7"]
    """
    if not name.strip() or name in KEYS:
        raise GradeDataError(f'grade name "{name}": needs a name that is not one of {", ".join(KEYS)}')
    lines = [tomli_w.dumps({name: {}}).strip()]
    for comment, key, value in _TEMPLATE:
        lines.append(f"# {comment}")
        lines.append(
            f"{key} = {_inline(value)}" if isinstance(value, dict) else tomli_w.dumps({key: value}).strip()
        )
    return "\n".join(lines) + "\n"


def _inline(table: Mapping[str, Any]) -> str:
    return "{ " + ", ".join(tomli_w.dumps({key: value}).strip() for key, value in table.items()) + " }"


_TEMPLATE: tuple[tuple[str, str, Any], ...] = (
    ("Family: any words; grades of one family stand together.", "family", "customer alloys"),
    (
        "Group: what the yard says at first glance: steel, stainless, brass, aluminium ...",
        "group",
        "stainless",
    ),
    ("Symbol of the main element.", "base", "Fe"),
    ("Other names by which it is called; may stay empty.", "names", []),
    (
        'Limits [wt %]: "low-high", "<=high", ">=low", "=nominal"; "rest" for the balance.',
        "limits",
        {"C": "<=0.08", "Cr": "17-19", "Ni": "8-11", "Fe": "rest"},
    ),
    (
        "Most of all elements not named [wt %]; leave the line out where nobody says.",
        "others",
        {"total": 0.5},
    ),
    ("Density [g/cm3].", "density", 7.9),
    ('Magnet: "non", "weak when cold worked", "weak", "strong" or "variable".', "magnet", "non"),
    (
        "Colour of a fresh file mark: red, reddish, yellow, golden, warm white, white, grey, blue grey, dark grey.",
        "colour",
        "white",
    ),
    ("What a sorter would see it as.", "forms", ["sheet"]),
    (
        'Where the figures come from: "yard" for your own word, or a source of the library: "memory".',
        "sources",
        {"limits": YARD_SOURCE, "density": YARD_SOURCE},
    ),
)
