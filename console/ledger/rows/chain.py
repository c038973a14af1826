"""The hash chain: what is hashed of a row, so that anybody can reckon it again.

The hashed text of a row is the JSON array

    [seq, row_id, kind, at_utc, person, terminal, run_id, refers, bay, grade_id, mass_g, pieces,
     tag, body, evidence, prev_hash]

of its columns as they lie in the table (`body` and `evidence` as the texts they are, NULL as null),
written without blanks, with characters beyond ASCII as they are, in UTF-8.
`row_hash` is the SHA-256 of it in small hex digits.
`prev_hash` is the `row_hash` of the row before; 64 zeros stand before the first row.
"""

import hashlib
import json
from collections.abc import Sequence

FIRST_PREV_HASH = "0" * 64
HASHED_COLUMNS = (
    *("seq", "row_id", "kind", "at_utc", "person", "terminal", "run_id", "refers", "bay", "grade_id"),
    *("mass_g", "pieces", "tag", "body", "evidence", "prev_hash"),
)
"""The columns that are hashed, in this order."""
_as_text = json.JSONEncoder(ensure_ascii=False, check_circular=False, separators=(",", ":")).encode
# Made once: json.dumps makes an encoder for every row, a fifth of what hashing one costs.


def canonical_text(columns: Sequence[str | int | float | None]) -> str:
    """Return the text that is hashed of a row.

    Args:
        columns: The values of HASHED_COLUMNS, in their order.

    >>> canonical_text([1, "A", None])
    '[1,"A",null]'
    """
    return _as_text(list(columns))


def row_hash(columns: Sequence[str | int | float | None]) -> str:
    """Return the SHA-256 of the canonical text as 64 hex digits.

    Args:
        columns: The values of HASHED_COLUMNS, in their order.
    """
    # A row that somebody altered with other tools may hold text that is no UTF-8; it must still be hashed.
    return hashlib.sha256(canonical_text(columns).encode("utf-8", "surrogatepass")).hexdigest()
