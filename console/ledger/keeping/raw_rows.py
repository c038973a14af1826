"""Finds the rows of the ledger page by page, where SQLite cannot or must not be asked: a damaged store.

Every page of the file and of the log beside it is looked at, whatever tree it hangs in, and whatever the
head of the file says. What is taken for a row proves itself by its hash; nothing here need be believed.
Source: SQLite, "Database File Format", sections 1.2, 1.6, 2.1 and 4, memory; proved against SQLite by tests.
"""

import mmap
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from console.ledger.rows.chain import HASHED_COLUMNS, row_hash

Value = str | int | float | bytes | None
RawRow = tuple[Value, ...]
"""The values of HASHED_COLUMNS, then the row's own hash."""
_TABLE_COLUMNS = (*HASHED_COLUMNS[:14], "prev_hash", "row_hash", "evidence")
_PLACES = tuple(_TABLE_COLUMNS.index(name) for name in (*HASHED_COLUMNS, "row_hash"))
_TABLE_LEAF = 0x0D
_HEAD_BYTES = 100
_PAGE_SIZES = (4096, 1024, 2048, 8192, 16384, 32768, 65536, 512)
_LOG_HEAD, _FRAME_HEAD = 32, 24
_INTEGER_BYTES = (0, 1, 2, 3, 4, 6, 8)
_LARGEST_ROW = 50_000_000
"""Nothing of ours is larger; a length beyond is damage [bytes]."""

Pages = Callable[[int], bytes]
"""Gives a page by its number, empty where there is none."""


def raw_rows(store: Path) -> Iterator[RawRow]:
    """Yield whatever looks like a row of the ledger, several times where it lies in several places.

    Args:
        store: The store's file; its log is looked into as well.

    Raises:
        OSError: The file cannot be read.
    """
    with _mapped(store) as data, _mapped(store.with_name(store.name + "-wal")) as log:
        size = _page_size(data, log)
        frames = _frames(log, size)

        def page(number: int) -> bytes:
            return frames.get(number) or bytes(data[(number - 1) * size : number * size])

        for at in range(0, len(data), size):
            start = _HEAD_BYTES if at == 0 else 0
            yield from _rows_of_page(bytes(data[at : at + size]), start, size, page)
        for at in range(_LOG_HEAD + _FRAME_HEAD, len(log), size + _FRAME_HEAD):
            yield from _rows_of_page(bytes(log[at : at + size]), 0, size, page)


def is_whole(row: RawRow) -> bool:
    """Return whether a row agrees with its own hash."""
    *hashed, own = row
    if any(isinstance(value, bytes) for value in hashed):
        return False
    return row_hash(hashed) == own  # type: ignore[arg-type]


@contextmanager
def _mapped(file: Path) -> "Iterator[mmap.mmap | bytes]":
    if not file.is_file() or file.stat().st_size == 0:
        yield b""
        return
    with file.open("rb") as stream, mmap.mmap(stream.fileno(), 0, access=mmap.ACCESS_READ) as data:
        yield data


def _page_size(data: "mmap.mmap | bytes", log: "mmap.mmap | bytes") -> int:
    """Return the size of a page as the head says; where that is damaged, the one that shows most rows."""
    said = int.from_bytes(data[16:18], "big")
    said = 65536 if said == 1 else said
    in_log = int.from_bytes(log[8:12], "big")
    for size in (said, in_log):
        if size in _PAGE_SIZES and data[:16] == b"SQLite format 3\0":
            return size

    def rows_with(size: int) -> int:
        pages = (bytes(data[at : at + size]) for at in range(size, min(len(data), 200 * size), size))
        return sum(len(_cells(page, 0, size)) for page in pages)

    return max(_PAGE_SIZES, key=rows_with)


def _frames(log: "mmap.mmap | bytes", size: int) -> dict[int, bytes]:
    """Return the newest page of each number that stands in the log."""
    found = {}
    for at in range(_LOG_HEAD, len(log) - _FRAME_HEAD - size + 1, size + _FRAME_HEAD):
        number = int.from_bytes(log[at : at + 4], "big")
        found[number] = bytes(log[at + _FRAME_HEAD : at + _FRAME_HEAD + size])
    return found


def _rows_of_page(content: bytes, start: int, size: int, page: Pages) -> Iterator[RawRow]:
    for at in _cells(content, start, size):
        row = _row_at(content, at, size, page)
        if row is not None:
            yield row


def _cells(content: bytes, start: int, size: int) -> list[int]:
    """Return where the cells of a page begin; none where it is no page of rows."""
    if len(content) < start + 8 or content[start] != _TABLE_LEAF:
        return []
    count = int.from_bytes(content[start + 3 : start + 5], "big")
    if count > size // 4:
        return []
    places = (
        int.from_bytes(content[start + 8 + 2 * number : start + 10 + 2 * number], "big")
        for number in range(count)
    )
    return [place for place in places if start + 8 < place < len(content)]


def _row_at(content: bytes, at: int, size: int, page: Pages) -> RawRow | None:
    """Return the row whose cell begins there; None where it is none of the ledger."""
    try:
        length, at = _varint(content, at)
        seq, at = _varint(content, at)
        if not 0 < length <= _LARGEST_ROW:
            return None
        values = _values(_payload(content, at, length, size, page))
    except (IndexError, ValueError):
        return None
    if len(values) != len(_TABLE_COLUMNS):
        return None
    values[0] = seq
    return tuple(values[place] for place in _PLACES)


def _payload(content: bytes, at: int, length: int, size: int, page: Pages) -> bytes:
    """Return the bytes of a row, those on further pages too."""
    if length <= size - 35:
        return content[at : at + length]
    least = (size - 12) * 32 // 255 - 23
    here = least + (length - least) % (size - 4)
    here = here if here <= size - 35 else least
    parts, left = [content[at : at + here]], length - here
    number = int.from_bytes(content[at + here : at + here + 4], "big")
    for _ in range(left // (size - 4) + 1):
        further = page(number) if number else b""
        if left <= 0 or len(further) < 4:
            break
        parts.append(further[4 : 4 + min(left, size - 4)])
        left -= len(parts[-1])
        number = int.from_bytes(further[:4], "big")
    return b"".join(parts)


def _values(payload: bytes) -> list[Value]:
    """Return the values of a record.

    Raises:
        ValueError: It is shorter than it says.
    """
    head, at = _varint(payload, 0)
    kinds = []
    while at < head:
        kind, at = _varint(payload, at)
        kinds.append(kind)
        if len(kinds) > len(_TABLE_COLUMNS):
            return []
    values: list[Value] = []
    for kind in kinds:
        length = _INTEGER_BYTES[kind] if kind < 7 else 8 if kind == 7 else max(0, (kind - 12) // 2)
        raw = payload[at : at + length]
        if len(raw) != length:
            raise ValueError("the record is cut off")
        at += length
        values.append(_value(kind, raw))
    return values


def _value(kind: int, raw: bytes) -> Value:
    if kind == 0 or kind in (7, 10, 11):
        return None  # the ledger holds no floating number
    if kind < 7:
        return int.from_bytes(raw, "big", signed=True)
    if kind in (8, 9):
        return kind - 8
    return raw if kind % 2 == 0 else raw.decode("utf-8", "surrogateescape")


def _varint(content: bytes, at: int) -> tuple[int, int]:
    """Return a number of one to nine bytes, and where the next thing begins."""
    value = 0
    for place in range(8):
        byte = content[at + place]
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + place + 1
    return value << 8 | content[at + 8], at + 9
