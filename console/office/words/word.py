"""A word of the office: a text for one yard, numbered, chained to the word before it, and signed.

The signature is Ed25519 (RFC 8032) over the hash of the word, and the hash is over its yard, its number, its
time, its author, its text and the hash of the word before. So it proves that whoever holds the office's
private key wrote exactly this for exactly this yard, after exactly those words: neither the server nor who
keeps it, nor a terminal, can make one up, change one, send it to another yard, leave one out or turn them
round. It does not prove when that was, nor that no newer word is held back.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any

from console.ground.errors import BaywrightError
from console.ledger.rows.chain import FIRST_PREV_HASH, canonical_text
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.queries import rows_where
from console.ledger.rows.runs import ALL_RUNS

LONGEST = 100_000
"""Characters of one word; a yard of a thousand bays is told its prices in less."""


class WordRefused(BaywrightError):  # noqa: N818 - reads as a claim
    """A word of the office is not taken; the message says which and why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """One word as the office wrote it."""

    yard: str
    """Name of the yard, as its yard.toml has it."""
    number: int
    """1, 2, 3 ... for this yard."""
    at_utc: str
    """By the office's clock."""
    person: str
    said: str
    """TOML: see `console.yard.office_says`."""
    prev_hash: str
    row_hash: str
    key: str
    """Public key, base64."""
    signature: str
    """Base64."""


SIGNED = b"baywright office word\n"
"""Before the hash in what is signed: a signature given for anything else is none of a word."""
COLUMNS = tuple(one.name for one in fields(Word))
_HASHED = COLUMNS[: COLUMNS.index("row_hash")]


def hash_of(word: Mapping[str, Any]) -> str:
    """Return the SHA-256 of a word's hashed columns as 64 hex digits."""
    return hashlib.sha256(canonical_text([word[name] for name in _HASHED]).encode("utf-8")).hexdigest()


def words_taken(source: LedgerSource) -> list[Word]:
    """Return the words that a ledger has taken, oldest first."""
    return [word_from(row.body) for row in rows_where(source, f"kind = 'office' AND {ALL_RUNS.sql}")]


def last_of(words: Iterable[Word]) -> tuple[int, str]:
    """Return number and hash of the newest word, those before any word where there is none."""
    return max(((one.number, one.row_hash) for one in words), default=(0, FIRST_PREV_HASH))


def word_from(table: object) -> Word:
    """Return the word that a table of JSON holds.

    Raises:
        WordRefused: It holds none.
    """
    if not isinstance(table, Mapping) or not set(COLUMNS) <= set(table):
        raise WordRefused("What is kept as a word of the office is none.")
    kinds = {name: int if name == "number" else str for name in COLUMNS}
    if any(type(table[name]) is not kind for name, kind in kinds.items()):
        raise WordRefused("What is kept as a word of the office is none.")
    return Word(**{name: table[name] for name in COLUMNS})


def words_text(words: Iterable[Word]) -> str:
    """Return words as the text of a file of JSON."""
    return json.dumps([asdict(one) for one in words], ensure_ascii=False, indent=1)
