"""Reads the file of materials; its head tells how it is written."""

import re
import tomllib
from collections.abc import Collection, Mapping
from typing import Any

from grade_library.elements import ELEMENTS
from grade_library.grade import Limit
from grade_library.loading.sources import nearest
from grade_library.loading.table_reader import TableReader
from grade_library.material import Material

MATERIALS_FILE = "materials.toml"
LANGUAGES = ("en", "de", "fr", "es", "it")
_LISTS = ("grades", "families", "groups", "series", "forms", "attachments", "hazards", "cautions", "entries")
_KEYS = (
    *("what", "group", "base", "shares", "share_basis", *LANGUAGES, *_LISTS),
    *("piece_kg", "note", "source"),
)
_SHARE = re.compile(r"(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)|(\d+(?:\.\d+)?)")
_PIECE = re.compile(r"(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)")
_MOST_SUM_WT_PCT = 100.5
"""The least shares of one piece cannot add up to more; the rest is rounding of the sources."""


def read_materials(text: str, taken: Collection[str]) -> tuple[tuple[Material, ...], tuple[str, ...]]:
    """Return the sound materials of a file's text, and a message for each fault.

    Args:
        text: TOML, one table a material.
        taken: Ids that grades have.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return (), (f"{MATERIALS_FILE}: not valid TOML: {error}",)
    materials, problems = [], []
    for material_id, table in tables.items():
        reader = TableReader(table)
        material = _read(material_id, reader)
        if material_id in taken:
            reader.fault("the id is that of a grade")
        problems += [f'{MATERIALS_FILE}, material "{material_id}"{problem}' for problem in reader.problems]
        if not reader.problems:
            materials.append(material)
    return tuple(materials), tuple(problems)


def _read(material_id: str, reader: TableReader) -> Material:
    for key in reader.table:
        if key not in _KEYS:
            reader.fault(f'unknown key "{key}"{nearest(key, _KEYS)}')
    for key in ("group", "source"):
        if not reader.text(key):
            reader.fault("is missing", key)
    low, high = _piece(reader)
    names = {language: reader.texts(language) for language in LANGUAGES if language in reader.table}
    return Material(
        material_id=material_id,
        what=reader.text("what"),
        group=reader.text("group"),
        base=reader.text("base"),
        shares=_shares(reader),
        share_basis=reader.text("share_basis"),
        names=names,
        piece_low_kg=low,
        piece_high_kg=high,
        note=reader.text("note"),
        source=reader.text("source"),
        **{key: reader.texts(key) for key in _LISTS},
    )


def _shares(reader: TableReader) -> Mapping[str, Limit]:
    shares: dict[str, Limit] = {}
    for symbol, value in reader.inline("shares", 'Cu = "7-9", Fe = "80-92"').items():
        limit = _share(value)
        if symbol not in ELEMENTS:
            reader.fault("is no element", symbol)
        elif limit is None:
            reader.fault(f'"{value}" needs "low-high" or one number, 0 to 100 wt %', symbol)
        else:
            shares[symbol] = limit
    least = sum(limit.low or 0.0 for limit in shares.values())
    if least > _MOST_SUM_WT_PCT:
        reader.fault(f"the least shares add up to {least:g} wt %", "shares")
    if shares and reader.text("base") not in shares:
        reader.fault("needs to be one of the shares", "base")
    return shares


def _share(value: Any) -> Limit | None:
    found = _SHARE.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        return None
    low, high = (float(found[1]), float(found[2])) if found[1] else (float(found[3]), float(found[3]))
    return Limit(low=low, high=high) if 0.0 <= low <= high <= 100.0 else None


def _piece(reader: TableReader) -> tuple[float | None, float | None]:
    text = reader.text("piece_kg")
    if not text:
        return None, None
    found = _PIECE.fullmatch(text)
    if found is None or not 0.0 < float(found[1]) <= float(found[2]):
        reader.fault(f'"{text}" needs "low-high" in kg', "piece_kg")
        return None, None
    return float(found[1]), float(found[2])
