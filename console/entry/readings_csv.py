"""Readings from a CSV file: rows become pieces, rows with the same piece value become shots on it."""

import csv
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from console.entry.cleaning import clean
from grade_library.elements import ELEMENTS
from grade_library.errors import ObservationError
from grade_library.facts import (
    BenchFacts,
    Form,
    Heft,
    MagnetPull,
    Measured,
    PieceFacts,
    Reading,
    Shot,
    Spark,
    Surface,
)
from grade_library.grade import Colour

BENCH_COLUMNS: Mapping[str, type[StrEnum]] = {
    "magnet": MagnetPull,
    "colour": Colour,
    "scratch": Colour,
    "heft": Heft,
    "form": Form,
    "spark": Spark,
}
"""Column -> the closed set of words that it takes."""
MEASURED_COLUMNS: Mapping[str, str] = {"density": "density_g_cm3", "conductivity": "iacs_pct"}
"""Column -> field of BenchFacts; g/cm3 and % IACS."""
OTHER_COLUMNS = ("piece", "technique", "ground", "surface", "attachments")
YES = frozenset({"yes", "y", "true", "1"})
NO = frozenset({"no", "n", "false", "0", ""})
SYMBOL_BY_NAME: Mapping[str, str] = {symbol.casefold(): symbol for symbol in ELEMENTS}


class ReadingsFileError(ValueError):
    """The file cannot be read as readings; the message names line and column and what would be right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceReadings:
    """One piece of the file."""

    piece: str
    """Its value in the column `piece`."""
    line: int
    """Line of its first row, counted from 1 with the header."""
    facts: PieceFacts


def pieces_of(
    lines: Iterable[str], *, techniques: Collection[str], technique: str = "xrf"
) -> Iterator[PieceReadings]:
    """Yield the pieces of a CSV file, in the order of their first row.

    Args:
        lines: Lines of the file, header first. Columns: `piece` and optional `technique`, `ground` (yes/no),
            `magnet`, `colour`, `scratch`, `heft`, `form`, `spark`, `surface`, `attachments`,
            `density` [g/cm3], `conductivity` [% IACS], and element symbols [wt %]; an empty cell is not
            reported, `<0.02` is below detection.
        techniques: The techniques that a row may name.
        technique: Technique of rows that name none.

    Raises:
        ReadingsFileError: A column or cell is wrong; nothing after it is read.
    """
    reader = csv.DictReader(lines, strict=True)
    columns = _known_columns(reader.fieldnames)
    rows: dict[str, list[tuple[int, dict[str, str]]]] = {}
    try:
        for row in reader:
            cells = {columns[name]: clean(row[name] or "").strip() for name in columns if name in row}
            if None in row:
                raise ReadingsFileError(
                    f"line {reader.line_num}: {len(row[None])} more cells than the header has columns"
                )
            if not any(cells.values()):
                continue
            piece = cells["piece"]
            if not piece:
                raise ReadingsFileError(
                    f"line {reader.line_num}, column piece: empty; every row names its piece"
                )
            rows.setdefault(piece, []).append((reader.line_num, cells))
    except csv.Error as error:
        raise ReadingsFileError(f"line {reader.line_num}: not readable as CSV ({error})") from error
    for piece, shots in rows.items():
        yield PieceReadings(piece=piece, line=shots[0][0], facts=_facts(shots, technique, techniques))


def _known_columns(header: Iterable[str] | None) -> dict[str, str]:
    """Return column as written -> column as known, or say which one is not known."""
    if header is None:
        raise ReadingsFileError("line 1: the file is empty; it needs a header row with the column piece")
    columns: dict[str, str] = {}
    for written in header:
        name = clean(written).strip().lstrip("\ufeff?").casefold().replace("color", "colour")
        if name in (*OTHER_COLUMNS, *BENCH_COLUMNS, *MEASURED_COLUMNS):
            known = name
        elif name in SYMBOL_BY_NAME:
            known = SYMBOL_BY_NAME[name]
        else:
            allowed = ", ".join((*OTHER_COLUMNS, *BENCH_COLUMNS, *MEASURED_COLUMNS))
            raise ReadingsFileError(
                f'line 1: column "{clean(written)}" is neither an element symbol nor one of {allowed}'
            )
        if known in columns.values():
            raise ReadingsFileError(f'line 1: column "{known}" stands there twice')
        columns[written] = known
    if "piece" not in columns.values():
        raise ReadingsFileError("line 1: no column piece; rows with the same piece are shots on one piece")
    return columns


def _facts(rows: list[tuple[int, dict[str, str]]], technique: str, techniques: Collection[str]) -> PieceFacts:
    """Return the facts of one piece from its rows; a bench fact of a later row replaces an earlier one."""
    shots = []
    bench: dict[str, object] = {}
    for line, cells in rows:
        try:
            reading = _reading(cells, technique)
        except ObservationError as error:
            raise ReadingsFileError(f"line {line}: {error}") from error
        if reading is not None:
            if reading.technique not in techniques:
                allowed = ", ".join(sorted(techniques))
                raise ReadingsFileError(
                    f'line {line}, column technique: "{reading.technique}"; known: {allowed}'
                )
            is_ground = _yes_no(line, "ground", cells.get("ground", ""))
            shots.append(Shot(reading=reading, is_ground=is_ground))
        bench |= _bench(line, cells)
    return PieceFacts(shots=tuple(shots), bench=BenchFacts(**bench))  # type: ignore[arg-type]


def _reading(cells: Mapping[str, str], technique: str) -> Reading | None:
    """Return the reading of a row, None where no element cell is filled."""
    values: dict[str, float] = {}
    below: dict[str, float] = {}
    for symbol in ELEMENTS:
        text = cells.get(symbol, "")
        if not text:
            continue
        target = below if text.startswith("<") else values
        target[symbol] = _number(symbol, text.lstrip("< "))
    if not values and not below:
        return None
    return Reading(values=values, below=below, technique=(cells.get("technique") or technique).casefold())


def _bench(line: int, cells: Mapping[str, str]) -> dict[str, object]:
    """Return the bench facts that a row fills in, by field of BenchFacts."""
    facts: dict[str, object] = {}
    for column, words in BENCH_COLUMNS.items():
        if text := cells.get(column, "").casefold():
            try:
                facts[column] = words(text)
            except ValueError as error:
                allowed = ", ".join(word.value for word in words)
                raise ReadingsFileError(
                    f'line {line}, column {column}: "{text}"; known: {allowed}'
                ) from error
    for column, name in MEASURED_COLUMNS.items():
        if text := cells.get(column, ""):
            try:
                facts[name] = Measured(value=_number(column, text))
            except ObservationError as error:
                raise ReadingsFileError(f"line {line}, column {column}: {error}") from error
    if text := cells.get("surface", "").casefold():
        try:
            facts["surfaces"] = frozenset(Surface(word.strip()) for word in text.replace("+", ",").split(","))
        except ValueError as error:
            allowed = ", ".join(surface.value for surface in Surface)
            raise ReadingsFileError(f'line {line}, column surface: "{text}"; known: {allowed}') from error
    if text := cells.get("attachments", ""):
        facts["has_attachments"] = _yes_no(line, "attachments", text)
    return facts


def _yes_no(line: int, column: str, text: str) -> bool:
    """Return a yes/no cell as a claim; empty is no."""
    word = text.casefold()
    if word not in YES | NO:
        raise ReadingsFileError(f'line {line}, column {column}: "{text}"; needs yes or no')
    return word in YES


def _number(name: str, text: str) -> float:
    """Return a cell as a number; a decimal comma is taken."""
    try:
        return float(text.replace(",", "."))
    except ValueError as error:
        raise ObservationError(f'{name} "{text}": needs a number, or "<" and a number') from error
