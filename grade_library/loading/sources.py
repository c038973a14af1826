"""The documents that figures come from, each listed once in data/sources.toml."""

import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from grade_library.errors import GradeDataError

KINDS = (
    "standard",
    "certificate",
    "handbook",
    "paper",
    "encyclopaedia",
    "dataset",
    "data-sheet",
    "web-page",
    "trade-text",
    "common-practice",
    "yard",
    "memory",
)
"""What a source can be; "yard" is the yard's own word, "memory" says that no document was seen."""

YARD_SOURCE = "yard"
"""Source id of a value that the yard states without naming another source."""

_KEYS = ("kind", "cite", "note")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One document, or the plain word that there is none."""

    source_id: str
    kind: str
    """One of KINDS."""
    cite: str
    """Author or body, title, edition or year, and where a copy was seen."""
    note: str = ""


BUILT_IN: Mapping[str, Source] = {
    "memory": Source(source_id="memory", kind="memory", cite="from memory; no document was seen"),
    "common-practice": Source(
        source_id="common-practice", kind="common-practice", cite="common practice of the trade"
    ),
    YARD_SOURCE: Source(source_id=YARD_SOURCE, kind="yard", cite="the yard's own grade file"),
}
"""Sources that need no entry in the file."""


def read_sources(file_name: str, text: str) -> dict[str, Source]:
    """Return source id -> source, with the built-in ones.

    Args:
        file_name: Named in messages.
        text: Content of the file, TOML: one table per source id.

    Raises:
        GradeDataError: The file is not TOML, or an entry is incomplete; the message says what would be right.
    """
    problems: list[str] = []
    sources = dict(BUILT_IN)
    for source_id, table in tables_of(file_name, text).items():
        found = _problems_of(table)
        problems += [f'{file_name}, source "{source_id}": {problem}' for problem in found]
        if not found:
            note = table.get("note", "")
            sources[source_id] = Source(
                source_id=source_id, kind=table["kind"], cite=table["cite"], note=note
            )
    if problems:
        raise GradeDataError("\n".join(problems))
    return sources


def tables_of(file_name: str, text: str) -> dict[str, Any]:
    """Return the tables of a file of the library.

    Raises:
        GradeDataError: It is no TOML; the message names the file and says where.
    """
    import tomllib  # a warm start reads no TOML

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise GradeDataError(f"{file_name}: not valid TOML: {error}") from None


def _problems_of(table: object) -> list[str]:
    """Return what is wrong with one entry, empty when it is sound."""
    if not isinstance(table, dict):
        return ['needs a table: [id] with kind = "..." and cite = "..."']
    problems = []
    for key in table:
        if key not in _KEYS:
            problems.append(f'unknown key "{key}"{nearest(key, _KEYS)}; known: {", ".join(_KEYS)}')
    if table.get("kind") not in KINDS:
        kind = str(table.get("kind", ""))
        problems.append(f'kind "{kind}"{nearest(kind, KINDS)}; one of: {", ".join(KINDS)}')
    if not isinstance(table.get("cite"), str) or not table["cite"].strip():
        problems.append('needs cite = "author, title, edition or year"')
    return problems


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the clause " (nearest: "x")" for a message, empty where nothing is near.

    >>> nearest("densty", ["density", "magnet"])
    ' (nearest: "density")'
    >>> nearest("quux", ["density"])
    ''
    """
    return _nearest(word, tuple(known))


@functools.cache
def _nearest(word: str, known: tuple[str, ...]) -> str:
    import difflib  # needed for a message only

    near = difflib.get_close_matches(word, known, n=1, cutoff=0.5)
    return f' (nearest: "{near[0]}")' if near else ""
