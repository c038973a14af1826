"""One readings file, whatever its encoding and delimiter: from bytes to rows with a lasting id."""

import csv
import hashlib
import io
import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from console.ground.cleaning import clean
from console.readings.csv_rows import ReadingsFileError, cells_of, known_column, known_columns, long_cell
from console.readings.element_readings import NOT_DETECTED
from console.readings.mapping import DELIMITERS, ReadingsMapping
from grade_library.elements import ELEMENTS

_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRow:
    """One row that holds something."""

    row_id: str
    """Of what the row says in all its columns, whatever the file's name and delimiter.

    A second row of the file that says the same has another."""
    line: int
    """Where it ends, counted from 1."""
    cells: Mapping[str, str]
    """By column as known; numbers with a decimal point."""
    problem: str = ""
    """Why it cannot be read; empty where it can."""
    is_short: bool = False
    """It has fewer cells than the header has columns."""

    @property
    def has_reading(self) -> bool:
        """True when an element cell is filled: the row is a shot."""
        return any(self.cells.get(symbol) for symbol in ELEMENTS)


@dataclass(frozen=True, slots=True, kw_only=True)
class FileRows:
    """What a file holds now."""

    rows: tuple[FileRow, ...]
    has_open_end: bool
    """The last line has no end: it may be half-written."""
    is_unfinished: bool
    """It was left out for that."""


def rows_of(
    content: bytes, name: str, mapping: ReadingsMapping, *, take_unfinished: bool = False
) -> FileRows:
    """Return the rows of a readings file.

    Args:
        content: The file: UTF-8 or UTF-16 with its mark, else UTF-8, else Windows-1252; lines end in any way.
        name: Its name without extension: the piece of rows where no column names one.
        mapping: The yard's columns, delimiter and decimal sign; what it leaves open is told from the file.
        take_unfinished: Read a last line without an end as well, unless cells are missing from it.

    Raises:
        ReadingsFileError: The header or the file as a whole cannot be read; nothing of it is.
    """
    text = _decoded(content)
    end = max(text.rfind("\n"), text.rfind("\r")) + 1
    has_open_end = bool(text[end:].strip())
    is_unfinished = has_open_end and not take_unfinished
    if is_unfinished:
        text = text[:end]
    first, _, rest = text.partition("\n")
    skipped, mark = 0, None
    if first.strip().casefold().startswith("sep=") and len(first.strip()) == 5:
        # A spreadsheet's own hint: the delimiter, on a line before the header.
        text, skipped, mark = rest, 1, first.strip()[4]
    if not text.strip():
        return FileRows(rows=(), has_open_end=has_open_end, is_unfinished=is_unfinished)
    delimiter = mapping.delimiter or mark or _delimiter(text, mapping)
    rows = _rows(text, skipped, delimiter, name, mapping)
    if has_open_end and not is_unfinished and rows and rows[-1].is_short:
        rows, is_unfinished = rows[:-1], True
    return FileRows(rows=rows, has_open_end=has_open_end, is_unfinished=is_unfinished)


def _decoded(content: bytes) -> str:
    if content.startswith(_UTF16_MARKS):
        return content[: len(content) // 2 * 2].decode("utf-16", errors="replace")
    # A half-written last line may end within a character; it must not decide the encoding of the rest.
    end = max(content.rfind(b"\n"), content.rfind(b"\r")) + 1
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            content[:end].decode(encoding)
        except UnicodeDecodeError:
            continue
        return content.decode(encoding, errors="replace")
    return content.decode("cp1252", errors="replace")


def _delimiter(text: str, mapping: ReadingsMapping) -> str:
    """Return the delimiter by which the header shows most columns that are known, then most columns."""

    def columns_by(delimiter: str) -> tuple[int, int]:
        header = next(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), [])
        folded = [clean(name).strip().casefold() for name in header]
        known = [n for n in folded if n in mapping.ignore or known_column(mapping.columns.get(n, n))]
        return len(known), len(header)

    try:
        return max(dict.fromkeys(DELIMITERS.values()), key=columns_by)
    except csv.Error as error:
        raise ReadingsFileError(f"line 1: not readable as CSV ({error})") from error


def _rows(
    text: str, skipped: int, delimiter: str, name: str, mapping: ReadingsMapping
) -> tuple[FileRow, ...]:
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[FileRow] = []
    seen: Counter[str] = Counter()
    try:
        header = list(reader.fieldnames or [])
        columns = known_columns(header, mapping.columns, mapping.ignore)
        for row in reader:
            line = reader.line_num + skipped
            cells = cells_of(row, columns)
            if not any(cells.values()) and None not in row:
                continue
            has_piece = "piece" in cells
            row_id = _row_id(row, None if has_piece else name, seen)
            if not cells.get("piece"):
                cells["piece"] = f"{name} line {line}" if has_piece else name
            cells, problem = _with_points(cells, mapping.decimal)
            if None in row:
                problem = f"{len(row[None])} more cells than the header has columns"
                problem += "; is a decimal comma taken for the delimiter?" if delimiter == "," else ""
            problem = long_cell(row) or problem
            is_short = None in row.values()
            rows.append(FileRow(row_id=row_id, line=line, cells=cells, problem=problem, is_short=is_short))
    except csv.Error as error:
        raise ReadingsFileError(f"line {reader.line_num + skipped}: not readable as CSV ({error})") from error
    return tuple(rows)


def _row_id(row: Mapping[str | None, object], name: str | None, seen: Counter[str]) -> str:
    """Return the id of what a row says in all its columns, and how often it was said before in this file."""
    said = json.dumps([name, sorted((str(key), str(value)) for key, value in row.items())])
    seen[said] += 1
    return hashlib.sha256(f"{said}#{seen[said]}".encode()).hexdigest()[:24]


def _with_points(cells: dict[str, str], decimal: str | None) -> tuple[dict[str, str], str]:
    """Return the cells with a decimal point, and what is wrong where the yard said which sign it is."""
    if decimal is None:
        return cells, ""
    other = "," if decimal == "." else "."
    for column, text in cells.items():
        if column in ELEMENTS or column in ("density", "conductivity"):
            if other in text and text.casefold() not in NOT_DETECTED:
                wanted = "comma" if decimal == "," else "point"
                return cells, f'column {column}: "{text}"; the yard file says decimal = "{wanted}"'
            cells[column] = text.replace(decimal, ".")
    return cells, ""
