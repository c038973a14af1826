"""The readings behind pieces, as they were kept when the pieces were tallied."""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice
from typing import Any

from console.ground.cleaning import clean
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.trouble import told_plainly

_AT_ONCE = 500  # SQLite takes 999 values in one statement at the least; source: its limits page, memory


def readings_behind(source: LedgerSource, row_ids: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Return the readings of pieces in short words, in the order they were shot; pieces without are left out.

    Readings that came later, when a piece on hold was resolved, follow those of its first entry. The row that
    resolved it keeps the first ones again, since it was judged by all of them; each is listed once.

    Args:
        source: The ledger or a reader.
        row_ids: The pieces.
    """
    found: dict[str, list[str]] = {}
    for some in _batches(row_ids):
        places = ", ".join("?" * len(some))
        with told_plainly(source.path):
            rows = source.connection.execute(
                f"SELECT coalesce(refers, row_id), evidence FROM ledger WHERE evidence IS NOT NULL "
                f"AND (row_id IN ({places}) OR refers IN ({places})) ORDER BY seq",
                (*some, *some),
            ).fetchall()
        for row_id, evidence in rows:
            words = [shot_words(shot) for shot in shots_of(json.loads(evidence))]
            if words:
                listed = found.setdefault(row_id, [])
                listed += _not_yet(words, listed)
    return {row_id: tuple(words) for row_id, words in found.items()}


def _not_yet(words: Iterable[str], listed: Iterable[str]) -> list[str]:
    """Return the shots of a later row that are not listed yet; two alike in one row are two shots."""
    known = Counter(listed)
    fresh = []
    for one in words:
        if known[one]:
            known[one] -= 1
        else:
            fresh.append(one)
    return fresh


def _batches(row_ids: Iterable[str]) -> Iterator[tuple[str, ...]]:
    """Yield the ids in portions that one statement can take."""
    rest = iter(row_ids)
    while some := tuple(islice(rest, _AT_ONCE // 2)):
        yield some


def shots_of(evidence: Mapping[str, Any]) -> Sequence[Mapping[str, Any]]:
    """Return the shots of a piece's evidence; none where an older program kept them otherwise."""
    facts = evidence.get("facts")
    shots = facts.get("shots") if isinstance(facts, dict) else None
    return [shot for shot in shots if isinstance(shot, dict)] if isinstance(shots, list) else []


def shot_words(shot: Mapping[str, Any]) -> str:
    """Return a shot in short words: "xrf, ground: Cr 18.2, Ni 8.1, Pb <0.02"."""
    ground = ", ground" if shot.get("ground") else ""
    values = shot.get("wt_pct") or {}
    below = shot.get("below_wt_pct") or {}
    elements = [f"{symbol} {value:g}" for symbol, value in sorted(values.items(), key=lambda one: -one[1])]
    elements += [f"{symbol} <{value:g}" for symbol, value in sorted(below.items())]
    return clean(f"{shot.get('technique') or 'reading'}{ground}: {', '.join(elements)}")
