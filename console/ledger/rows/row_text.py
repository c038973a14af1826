"""What a row's values look like as text on disk: times, and everything else as JSON."""

import json
import math
from collections.abc import Mapping
from datetime import UTC, datetime
from enum import Enum
from typing import Any

ON_PLATFORM, WEIGHINGS = "on_platform", "weighings"
"""In the body of a piece: which scale weighed it and how often it was read, where that is not the usual."""


def time_text(at: datetime) -> str:
    """Return an aware time as UTC text with milliseconds, so that text order is time order.

    >>> time_text(datetime(2031, 5, 2, 6, 0, tzinfo=UTC))
    '2031-05-02T06:00:00.000Z'
    """
    assert at.tzinfo is not None, "the ledger takes aware times only"
    return at.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def time_of(text: str) -> datetime:
    """Return the aware time in UTC that a time text stands for."""
    return datetime.fromisoformat(text)


def storable(text: str) -> str:
    """Return the text with what SQLite cannot hold as text replaced: halves of surrogate pairs and NUL.

    >>> storable("a" + chr(0xDCFF))
    'a?'
    """
    return text.encode("utf-8", "replace").decode("utf-8").replace("\0", " ")


def json_text(values: Mapping[str, Any]) -> str:
    """Return the values as JSON with sorted keys and no blanks.

    Numbers that JSON does not know (NaN, infinite) become null.

    Raises:
        TypeError: A value is none of text, number, truth, None, time, enum, mapping or sequence.
    """
    return json.dumps(
        plain(values), ensure_ascii=False, separators=(",", ":"), sort_keys=True, allow_nan=False
    )


def plain(value: Any) -> Any:
    """Return the value built of dicts, lists, text, numbers, truths and None only."""
    match value:
        case Enum():
            return plain(value.value)
        case str():
            return storable(value)
        case None | bool() | int():
            return value
        case float():
            return float(value) if math.isfinite(value) else None
        case datetime():
            return time_text(value)
        case Mapping():
            return {storable(str(key)): plain(item) for key, item in value.items()}
        case list() | tuple():
            return [plain(item) for item in value]
        case set() | frozenset():
            return sorted((plain(item) for item in value), key=str)
    if hasattr(value, "item"):  # a numpy scalar
        return plain(value.item())
    raise TypeError(f"the ledger cannot keep a {type(value).__name__}: {value!r}")
