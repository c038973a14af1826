"""What lies in the bays, kept beside the store, so that a large store need not be read through every time.

The file only spares time: it names the row up to which it holds, with that row's hash, and what else it hangs
on. Where anything differs, or where it is missing or cut off, the bays are read from the ledger.
"""

import hmac
import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from console.ground.durable import replace_whole
from console.ledger.keeping.going_back import hash_at
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.trouble import told_plainly
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.kept_sums import mark_of, sums_from, sums_json
from console.yard.yard import Yard
from grade_library.library import GradeLibrary
from grade_library.user_files import read_text

ENDING = ".bays.json"
MOST_BYTES = 50_000_000
"""A store of 100,000 pieces keeps some 200,000."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptBays:
    """The sums of every bay after a row of the ledger."""

    seen: int
    """seq of that row."""
    sums: Mapping[str, BaySums]


def keep(source: LedgerSource, yard: Yard, library: GradeLibrary, bays: KeptBays) -> None:
    """Write the sums beside the store; where the folder cannot be written to they are not kept."""
    kept: dict[str, Any] = {
        "mark": mark_of(yard, library),
        "seen": bays.seen,
        "row_hash": _hash_at(source, bays.seen),
        "bays": {code: sums_json(sums) for code, sums in bays.sums.items()},
    }
    kept["checksum"] = _checksum(kept)
    with suppress(OSError):
        replace_whole(file_of(source.path), json.dumps(kept))


def kept(source: LedgerSource, yard: Yard, library: GradeLibrary) -> KeptBays | None:
    """Return the sums that were kept; None where there are none that hold for this store and yard."""
    try:
        found = json.loads(read_text(file_of(source.path), MOST_BYTES))
        if found["mark"] != mark_of(yard, library) or found["row_hash"] != _hash_at(source, found["seen"]):
            return None
        if found.pop("checksum") != _checksum(found):
            return None
        sums = {bay.code: sums_from(found["bays"][bay.code], yard, library) for bay in yard.bays}
        return KeptBays(seen=int(found["seen"]), sums=sums)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def file_of(store: Path) -> Path:
    """Return where the sums are kept."""
    return store.with_name(store.name + ENDING)


def _checksum(kept: Mapping[str, Any]) -> str:
    """Return the checksum of what is kept, keyed to the head of the chain: no other store has the same."""
    content = json.dumps(kept, sort_keys=True).encode()
    return hmac.new(str(kept["row_hash"]).encode(), content, "sha256").hexdigest()


def _hash_at(source: LedgerSource, seq: int) -> str | None:
    with told_plainly(source.path):
        return hash_at(source.connection, seq)
