"""A row in short: what the sums need of it, read a hundred thousand at a time."""

import json
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.row_text import time_of
from console.ledger.rows.trouble import told_plainly

# What a piece says in its body is by far the most, and no sum asks for it.
_COLUMNS = (
    "seq, row_id, kind, at_utc, person, refers, bay, grade_id, mass_g, pieces, tag, "
    "CASE kind WHEN 'piece' THEN NULL ELSE body END"
)
NOTHING: Mapping[str, Any] = {}


class Mark(NamedTuple):
    """The fields of a Row that sums are made of, named as they are there."""

    seq: int
    row_id: str
    kind: str
    at_text: str
    person: str
    refers: str | None
    bay: str | None
    grade_id: str | None
    mass_g: int | None
    pieces: int | None
    tag: str | None
    body: Mapping[str, Any]
    """Empty for a piece."""

    @property
    def at_utc(self) -> datetime:
        """When it was written, aware."""
        return time_of(self.at_text)


def marks_where(source: LedgerSource, condition: str, values: Iterable[object] = ()) -> Iterator[Mark]:
    """Yield the rows that meet a condition in short, oldest first.

    Args:
        source: The ledger or a reader.
        condition: SQL after FROM ledger, written by this program, with `?` for every value.
        values: What stands for the `?`.
    """
    with told_plainly(source.path):
        for columns in source.connection.execute(
            f"SELECT {_COLUMNS} FROM ledger {condition} ORDER BY seq", tuple(values)
        ):
            body = columns[-1]
            yield Mark._make((*columns[:-1], NOTHING if body is None else json.loads(body)))
