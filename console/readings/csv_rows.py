"""Readings from a CSV file: rows become pieces, rows with the same piece value become shots on it."""

import csv
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from console.ground.cleaning import STAND_IN, clean
from console.ground.errors import BaywrightError
from console.readings.element_readings import NOT_DETECTED, SYMBOLS
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
from grade_library.technique import FALLBACK, Profile

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


class ReadingsFileError(BaywrightError):
    """The file cannot be read as readings; the message names line and column and what would be right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceReadings:
    """One piece of the file."""

    piece: str
    """Its value in the column `piece`."""
    line: int
    """Line of its first row, counted from 1 with the header."""
    facts: PieceFacts
    file: str = ""
    """Name of the file, where several are read."""
    row_ids: tuple[str, ...] = ()
    """What each row is known by in a watched folder, one for every row."""
    shots_at: tuple[tuple[int, str], ...] = ()
    """Line and row id of each shot, in a watched folder."""


LONGEST_CELL = 1000
"""Characters of one cell; a note of the sorter is the longest."""


def pieces_of(
    lines: Iterable[str], *, techniques: Mapping[str, Profile], technique: str = "xrf"
) -> Iterator[PieceReadings]:
    """Yield the pieces of a CSV file, in the order of their first row.

    Args:
        lines: Lines of the file, header first. Columns: `piece` and optional `technique`, `ground` (yes/no),
            `magnet`, `colour`, `scratch`, `heft`, `form`, `spark`, `surface`, `attachments`,
            `density` [g/cm3], `conductivity` [% IACS], and element symbols [wt %]; an empty cell is not
            reported, `<0.02` is below detection, and `nd` below the technique's usual limit.
        techniques: The techniques that a row may name, by name.
        technique: Technique of rows that name none.

    Raises:
        ReadingsFileError: A column or cell is wrong; nothing after it is read.
    """
    reader = csv.DictReader(lines, strict=True)
    if reader.fieldnames is None:
        raise ReadingsFileError("line 1: the file is empty; it needs a header row with the column piece")
    columns = known_columns(reader.fieldnames)
    if "piece" not in columns.values():
        raise ReadingsFileError("line 1: no column piece; rows with the same piece are shots on one piece")
    rows = []
    try:
        for row in reader:
            if None in row:
                raise ReadingsFileError(
                    f"line {reader.line_num}: {len(row[None])} more cells than the header has columns"
                )
            if problem := long_cell(row):
                raise ReadingsFileError(f"line {reader.line_num}, {problem}")
            rows.append((reader.line_num, cells_of(row, columns)))
    except csv.Error as error:
        raise ReadingsFileError(f"line {reader.line_num}: not readable as CSV ({error})") from error
    yield from pieces_of_rows(rows, techniques=techniques, technique=technique)


def cells_of(row: Mapping[str, str | None], columns: Mapping[str, str]) -> dict[str, str]:
    """Return the cells of a row by column as known, cleaned, stripped and at most LONGEST_CELL long."""
    return {columns[name]: clean((row[name] or "")[:LONGEST_CELL]).strip() for name in columns if name in row}


def long_cell(row: Mapping[str, object]) -> str:
    """Return what is wrong with a row of which a cell is longer than any of a readings file; else empty."""
    for name, cell in row.items():
        if isinstance(cell, str) and len(cell) > LONGEST_CELL:
            return f"column {clean(str(name), 60)}: {len(cell)} characters; at most {LONGEST_CELL}"
    return ""


def pieces_of_rows(
    rows: Iterable[tuple[int, Mapping[str, str]]],
    *,
    techniques: Mapping[str, Profile],
    technique: str = "xrf",
) -> Iterator[PieceReadings]:
    """Yield the pieces of rows that were taken apart already, in the order of their first row.

    Args:
        rows: Line and cells, by column as known; a row without a filled cell is passed over.
        techniques: The techniques that a row may name, by name.
        technique: Technique of rows that name none.

    Raises:
        ReadingsFileError: A cell is wrong.
    """
    by_piece: dict[str, list[tuple[int, Mapping[str, str]]]] = {}
    for line, cells in rows:
        if not any(cells.values()):
            continue
        piece = cells["piece"]
        if not piece:
            raise ReadingsFileError(f"line {line}, column piece: empty; every row names its piece")
        by_piece.setdefault(piece, []).append((line, cells))
    for piece, shots in by_piece.items():
        yield PieceReadings(piece=piece, line=shots[0][0], facts=_facts(shots, technique, techniques))


def known_column(name: str) -> str | None:
    """Return a column as known here, None where it is neither one of ours nor an element symbol.

    >>> known_column(" CR "), known_column("Color"), known_column("operator")
    ('Cr', 'colour', None)
    """
    folded = clean(name).strip().lstrip(STAND_IN).casefold().replace("color", "colour")
    if folded in (*OTHER_COLUMNS, *BENCH_COLUMNS, *MEASURED_COLUMNS):
        return folded
    return SYMBOLS.get(folded)


def known_columns(
    header: Iterable[str], own: Mapping[str, str] | None = None, ignore: Collection[str] = ()
) -> dict[str, str]:
    """Return column as written -> column as known.

    Args:
        header: The columns as written.
        own: The yard's own names, case-folded and stripped -> column as known.
        ignore: Columns to leave out, case-folded and stripped.

    Raises:
        ReadingsFileError: A column is not known, or stands there twice.
    """
    columns: dict[str, str] = {}
    for written in header:
        folded = clean(written).strip().lstrip(STAND_IN).casefold()
        if not folded or folded in ignore:
            continue
        known = known_column((own or {}).get(folded, folded))
        if known is None:
            allowed = ", ".join((*OTHER_COLUMNS, *BENCH_COLUMNS, *MEASURED_COLUMNS))
            raise ReadingsFileError(
                f'line 1: column "{clean(written)}" is neither an element symbol nor one of {allowed}'
            )
        if known in columns.values():
            raise ReadingsFileError(f'line 1: column "{known}" stands there twice')
        columns[written] = known
    return columns


def _facts(
    rows: list[tuple[int, Mapping[str, str]]], technique: str, techniques: Mapping[str, Profile]
) -> PieceFacts:
    """Return the facts of one piece from its rows; a bench fact of a later row replaces an earlier one."""
    shots = []
    bench: dict[str, object] = {}
    for line, cells in rows:
        try:
            reading = _reading(cells, technique, techniques)
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


def _reading(cells: Mapping[str, str], technique: str, techniques: Mapping[str, Profile]) -> Reading | None:
    """Return the reading of a row, None where no element cell is filled."""
    values: dict[str, float] = {}
    below: dict[str, float] = {}
    named = (cells.get("technique") or technique).casefold()
    profile = techniques.get(named, techniques[FALLBACK])
    for symbol in ELEMENTS:
        text = cells.get(symbol, "")
        if not text:
            continue
        if text.casefold() in NOT_DETECTED:
            below[symbol] = profile.model(symbol).lod
            continue
        target = below if text.startswith("<") else values
        target[symbol] = _number(symbol, text.lstrip("< "))
    if not values and not below:
        return None
    return Reading(values=values, below=below, technique=named)


def _bench(line: int, cells: Mapping[str, str]) -> dict[str, object]:
    """Return the bench facts that a row fills in, by field of BenchFacts."""
    facts: dict[str, object] = {}
    for column, words in BENCH_COLUMNS.items():
        if text := cells.get(column, "").casefold():
            facts[column] = _known(line, column, words, text, text)
    for column, name in MEASURED_COLUMNS.items():
        if text := cells.get(column, ""):
            try:
                facts[name] = Measured(value=_number(column, text))
            except ObservationError as error:
                raise ReadingsFileError(f"line {line}, column {column}: {error}") from error
    if text := cells.get("surface", "").casefold():
        named = text.replace("+", ",").split(",")
        facts["surfaces"] = frozenset(_known(line, "surface", Surface, word.strip(), text) for word in named)
    if text := cells.get("attachments", ""):
        facts["has_attachments"] = _yes_no(line, "attachments", text)
    return facts


def _known(line: int, column: str, words: type[StrEnum], word: str, cell: str) -> StrEnum:
    """Return a word of a cell as one of the closed set that the column takes."""
    try:
        return words(word)
    except ValueError as error:
        allowed = ", ".join(one.value for one in words)
        raise ReadingsFileError(f'line {line}, column {column}: "{cell}"; known: {allowed}') from error


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
