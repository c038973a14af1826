"""Keeps the checked grades in a form that loads fast; a stale or damaged copy is never used."""

import hashlib
import json
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeAlias

import platformdirs

from grade_library.errors import GradeDataError
from grade_library.grade import Citation, Colour, Difference, Grade, Limit, MagneticClass
from grade_library.loading.dictionary import Dictionary, in_a_line
from grade_library.loading.sources import Source
from grade_library.loading.uncollected import uncollected

_FILE_PATTERN = "grades-*.json"
_READERS = (
    "grade.py",
    "loading/notation.py",
    *("loading/grade_file.py", "loading/citation_reader.py", "loading/composition_reader.py"),
    *("loading/limit_checks.py", "loading/library_cache.py"),
    *("material.py", "loading/material_file.py", "loading/dictionary.py", "naming/trade_words.py"),
    *("naming/grade_names.py", "naming/name_text.py", "naming/word_table.py"),
)
"""Modules whose change can change a record: they are part of the key."""
_KEY_LENGTH = 32
_OWN_FIELDS = (
    *("grade_id", "uns", "others_each", "others_total", "density_g_cm3", "iacs_low_pct", "iacs_high_pct"),
    *("magnet", "colour", "is_cast"),
)
"""Fields that are kept as they are; the text of an enum is its value."""
_SHARED_FIELDS = ("family", "group", "series", "base", "iacs_by_temper", "look", "spark", "note", "owner")
"""Fields in which many grades say the same."""
_LIMIT_FIELDS = ("low", "high", "is_rest", "nominal", "is_low_reckoned", "is_high_reckoned")
_TUPLE_FIELDS = ("en", "names", "near_names", "forms", "scrap", "cautions")


def cache_folder() -> Path | None:
    """Return where the user's caches live, None where the system names no such place."""
    try:
        return Path(platformdirs.user_cache_dir("baywright"))
    except (OSError, RuntimeError):
        return None


def content_key(texts: Mapping[str, bytes]) -> str:
    """Return a key that changes with every byte of the data files and of the code that reads them."""
    digest = hashlib.blake2b(digest_size=_KEY_LENGTH // 2)
    here = Path(__file__).parents[1]
    for module in _READERS:
        digest.update((here / module).read_bytes())
    for name in sorted(texts):
        digest.update(f"\0{name}\0{len(texts[name])}\0".encode())
        digest.update(texts[name])
    return digest.hexdigest()


Kept: TypeAlias = tuple[tuple[Grade, ...], dict[str, Source], Dictionary]
"""Grades, sources, and what is named beside grades."""


def read_cached(folder: Path, key: str) -> Kept | None:
    """Return what is kept under the key; None where there is nothing, or the file is damaged."""
    try:
        header, _, payload = (folder / f"grades-{key}.json").read_bytes().partition(b"\n")
        if header.decode("ascii") != _header(key, payload):
            return None
    except (OSError, UnicodeDecodeError):
        return None
    try:
        with uncollected():
            main, *dictionary = payload.split(b"\n")
            return (*_unpack(json.loads(main)), Dictionary(dictionary))
    except (ValueError, KeyError, TypeError, IndexError, GradeDataError):
        return None


def write_cached(
    folder: Path,
    key: str,
    grades: Sequence[Grade],
    sources: Mapping[str, Source],
    dictionary: Dictionary,
) -> bool:
    """Keep a library under the key, drop older files; return False where the folder takes none."""
    payload = b"\n".join([in_a_line(_pack(grades, sources)), *dictionary.texts])
    target = folder / f"grades-{key}.json"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        part = folder / f"grades-{key}.{os.getpid()}.part"
        part.write_bytes(_header(key, payload).encode("ascii") + b"\n" + payload)
        os.replace(part, target)
        for old in folder.glob(_FILE_PATTERN):
            if old != target:
                old.unlink(missing_ok=True)
    except OSError:
        return False
    return True


def _header(key: str, payload: bytes) -> str:
    return f"{key} {hashlib.blake2b(payload, digest_size=_KEY_LENGTH // 2).hexdigest()}"


class _Pool:
    """Numbers equal items, so that each is stored and built once."""

    def __init__(self) -> None:
        self.items: list[Any] = []
        self._numbers: dict[Any, int] = {}

    def number(self, item: Any) -> int:
        """Return the number of an item, a new one for a new item."""
        if item not in self._numbers:
            self._numbers[item] = len(self.items)
            self.items.append(item)
        return self._numbers[item]

    def numbered(self, named: Mapping[str, Any]) -> tuple[str, tuple[int, ...]]:
        """Return the names in one text, and the numbers of their items: both load faster than a table."""
        return " ".join(named), tuple(self.number(item) for item in named.values())


def _pack(grades: Sequence[Grade], sources: Mapping[str, Source]) -> dict[str, Any]:
    """Return the records as columns of numbers into pools of values."""
    limits, citations, values, tables = _Pool(), _Pool(), _Pool(), _Pool()
    columns: dict[str, list[Any]] = {
        field: [getattr(grade, field) for grade in grades] for field in _OWN_FIELDS
    }
    for field in (*_SHARED_FIELDS, *_TUPLE_FIELDS):
        columns[field] = [values.number(getattr(grade, field)) for grade in grades]
    for field, pool in (("limits", limits), ("sums", limits), ("sources", citations)):
        columns[field] = [tables.number((field, *pool.numbered(getattr(grade, field)))) for grade in grades]
    differences = [
        [row, other.element, limits.number(other.limit), citations.number(other.citation), other.note]
        for row, grade in enumerate(grades)
        for other in grade.differences
    ]
    return {
        "columns": columns,
        "differences": differences,
        "values": values.items,
        "tables": tables.items,
        "limits": [[getattr(limit, field) for field in _LIMIT_FIELDS] for limit in limits.items],
        "citations": [[citation.source_id, citation.where] for citation in citations.items],
        "sources": [[source.source_id, source.kind, source.cite, source.note] for source in sources.values()],
    }


def _unpack(packed: dict[str, Any]) -> tuple[tuple[Grade, ...], dict[str, Source]]:
    limits = [Limit(**dict(zip(_LIMIT_FIELDS, row, strict=True))) for row in packed["limits"]]
    citations = [Citation(source_id=source_id, where=where) for source_id, where in packed["citations"]]
    sources = [Source(source_id=i, kind=kind, cite=cite, note=n) for i, kind, cite, n in packed["sources"]]
    items: dict[str, Sequence[Any]] = {"limits": limits, "sums": limits, "sources": citations}
    tables = [
        MappingProxyType(dict(zip(names.split(), map(items[field].__getitem__, numbers), strict=True)))
        for field, names, numbers in packed["tables"]
    ]
    values = [tuple(value) if isinstance(value, list) else value for value in packed["values"]]
    columns = packed["columns"]
    columns["magnet"] = map({magnet.value: magnet for magnet in MagneticClass}.__getitem__, columns["magnet"])
    columns["colour"] = map({colour.value: colour for colour in Colour}.__getitem__, columns["colour"])
    for field in (*_SHARED_FIELDS, *_TUPLE_FIELDS):
        columns[field] = map(values.__getitem__, columns[field])
    for field in items:
        columns[field] = map(tables.__getitem__, columns[field])
    columns["differences"] = _differences(packed, limits, citations)
    # Keyword arguments are matched by identity first: without interning this call takes twice the time.
    fields = tuple(map(sys.intern, columns))
    rows = zip(*columns.values(), strict=True)
    grades = tuple(Grade(**dict(zip(fields, row, strict=True))) for row in rows)
    return grades, {source.source_id: source for source in sources}


def _differences(
    packed: dict[str, Any], limits: Sequence[Limit], citations: Sequence[Citation]
) -> list[tuple[Difference, ...]]:
    found: list[tuple[Difference, ...]] = [()] * len(packed["columns"]["grade_id"])
    for row, element, limit, citation, note in packed["differences"]:
        other = Difference(element=element, limit=limits[limit], citation=citations[citation], note=note)
        found[row] = (*found[row], other)
    return found
