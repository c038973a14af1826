"""Keeps the checked grades in a form that loads fast; a stale or damaged copy is never used."""

import gc
import hashlib
import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

import platformdirs

from grade_library.errors import GradeDataError
from grade_library.grade import Citation, Colour, Difference, Grade, Limit, MagneticClass
from grade_library.sources import Source

_FILE_PATTERN = "grades-*.json"
_READERS = ("grade", "grade_file", "citation_reader", "composition_reader", "limit_checks", "notation")
"""Modules whose change can change a record: they are part of the key."""
_KEY_LENGTH = 32
_PLAIN_FIELDS = (
    *("grade_id", "family", "group", "series", "base", "others_each", "others_total", "uns", "density_g_cm3"),
    *("iacs_low_pct", "iacs_high_pct", "iacs_by_temper", "look", "spark", "is_cast", "note", "owner"),
)
_TUPLE_FIELDS = ("en", "names", "forms", "scrap", "cautions")

_Item = TypeVar("_Item")


def cache_folder() -> Path | None:
    """Return where the user's caches live, None where the system names no such place."""
    try:
        return Path(platformdirs.user_cache_dir("baywright"))
    except (OSError, RuntimeError):
        return None


def content_key(texts: Mapping[str, bytes]) -> str:
    """Return a key that changes with every byte of the data files and of the code that reads them."""
    digest = hashlib.blake2b(digest_size=_KEY_LENGTH // 2)
    here = Path(__file__).parent
    for module in (*_READERS, "library_cache"):
        digest.update((here / f"{module}.py").read_bytes())
    for name in sorted(texts):
        digest.update(f"\0{name}\0{len(texts[name])}\0".encode())
        digest.update(texts[name])
    return digest.hexdigest()


def read_cached(folder: Path, key: str) -> tuple[tuple[Grade, ...], dict[str, Source]] | None:
    """Return the grades and sources kept under the key; None where there are none, or the file is damaged."""
    try:
        header, _, payload = (folder / f"grades-{key}.json").read_bytes().partition(b"\n")
        if header.decode("ascii") != _header(key, payload):
            return None
    except (OSError, UnicodeDecodeError):
        return None
    # Tens of thousands of new records would start the cycle collector a dozen times for nothing.
    was_collecting = gc.isenabled()
    gc.disable()
    try:
        return _unpack(json.loads(payload))
    except (ValueError, KeyError, TypeError, IndexError, GradeDataError):
        return None
    finally:
        if was_collecting:
            gc.enable()


def write_cached(folder: Path, key: str, grades: Sequence[Grade], sources: Mapping[str, Source]) -> bool:
    """Keep grades and sources under the key, drop older files; return False where the folder takes none."""
    payload = json.dumps(_pack(grades, sources), separators=(",", ":"), ensure_ascii=False).encode()
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
    """Numbers equal records, so that each is stored and built once."""

    def __init__(self) -> None:
        self.items: list[Any] = []
        self._numbers: dict[Any, int] = {}

    def number(self, item: Any) -> int:
        if item not in self._numbers:
            self._numbers[item] = len(self.items)
            self.items.append(item)
        return self._numbers[item]

    def numbered(self, named: Mapping[str, Any]) -> tuple[str, list[int]]:
        """Return the names in one text, and the numbers of their records: both load faster than a table."""
        return " ".join(named), [self.number(item) for item in named.values()]


def _pack(grades: Sequence[Grade], sources: Mapping[str, Source]) -> dict[str, Any]:
    limits, citations = _Pool(), _Pool()
    rows = []
    for grade in grades:
        rows.append(
            [
                *(getattr(grade, field) for field in _PLAIN_FIELDS),
                *(list(getattr(grade, field)) for field in _TUPLE_FIELDS),
                grade.magnet.value,
                grade.colour.value,
                *limits.numbered(grade.limits),
                *limits.numbered(grade.sums),
                *citations.numbered(grade.sources),
                [
                    [other.element, limits.number(other.limit), citations.number(other.citation), other.note]
                    for other in grade.differences
                ],
            ]
        )
    return {
        "limits": [[limit.low, limit.high, limit.is_rest, limit.nominal] for limit in limits.items],
        "citations": [[citation.source_id, citation.where] for citation in citations.items],
        "sources": [[source.source_id, source.kind, source.cite, source.note] for source in sources.values()],
        "grades": rows,
    }


def _unpack(packed: dict[str, Any]) -> tuple[tuple[Grade, ...], dict[str, Source]]:
    limits = [
        Limit(low=low, high=high, is_rest=is_rest, nominal=nominal)
        for low, high, is_rest, nominal in packed["limits"]
    ]
    citations = [Citation(source_id=source_id, where=where) for source_id, where in packed["citations"]]
    sources = [
        Source(source_id=i, kind=kind, cite=cite, note=note) for i, kind, cite, note in packed["sources"]
    ]
    grades = tuple(_unpack_grade(row, limits, citations) for row in packed["grades"])
    return grades, {source.source_id: source for source in sources}


_MAGNETS = {magnet.value: magnet for magnet in MagneticClass}
_COLOURS = {colour.value: colour for colour in Colour}
_N_PLAIN = len(_PLAIN_FIELDS)
_N_LISTS = _N_PLAIN + len(_TUPLE_FIELDS)
_FIELDS = (*_PLAIN_FIELDS, *_TUPLE_FIELDS, "magnet", "colour", "limits", "sums", "sources", "differences")
_NOTHING: Mapping[str, Any] = MappingProxyType({})


def _unpack_grade(row: list[Any], limits: Sequence[Limit], citations: Sequence[Citation]) -> Grade:
    values = row[:_N_PLAIN]
    values += map(tuple, row[_N_PLAIN:_N_LISTS])
    magnet, colour, symbols, limit_numbers, sums, sum_numbers, cited, citation_numbers, others = row[
        _N_LISTS:
    ]
    values += (
        _MAGNETS[magnet],
        _COLOURS[colour],
        _named(symbols, limit_numbers, limits),
        _named(sums, sum_numbers, limits),
        _named(cited, citation_numbers, citations),
        tuple(
            Difference(element=element, limit=limits[i], citation=citations[j], note=note)
            for element, i, j, note in others
        ),
    )
    return Grade(**dict(zip(_FIELDS, values, strict=True)))


def _named(names: str, numbers: list[int], items: Sequence[_Item]) -> Mapping[str, _Item]:
    if not numbers:
        return _NOTHING
    return MappingProxyType(dict(zip(names.split(), [items[number] for number in numbers], strict=True)))
