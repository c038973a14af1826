"""Where the chain's head is kept outside the store, so that a missing, older or other store is noticed.

A chain proves that nothing in it was changed; it cannot prove that it is all there, nor that it is the only
one. So number and hash of the newest row are written down beside it, in the yard's folder, and in the state
folder of the user: there under the name of the folder, which notices a yard whose store went, and under the
identity of the ledger, which notices two copies that both went on. The identity is the hash of the first row.
"""

import hashlib
import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import platformdirs

from console.ground.durable import replace_whole
from grade_library.user_files import read_json

ENDING = ".head.json"
MOST_HEADS = 200
"""So many heads are kept; of more, every second of the older half is dropped."""
EVERY_ROWS = 50
"""Rows between two heads while a console works (own choice): so exact is the last common row after a fork."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """What is known of a ledger from outside of it."""

    ledger: str
    """Hash of its first row."""
    store: str
    """Where it lay when this was written."""
    heads: tuple[tuple[int, str], ...]
    """Number and hash of rows that were its newest once, oldest first; never empty."""
    runs: int
    """How many runs were opened."""
    tags: int
    """The highest number of a tag."""

    @property
    def newest(self) -> tuple[int, str]:
        """Number and hash of the newest row known."""
        return self.heads[-1]

    def with_head(self, seq: int, row_hash: str, *, runs: int, tags: int) -> "Anchor":
        """Return the anchor with one more head; heads from that number on are forgotten."""
        before = tuple(head for head in self.heads if head[0] < seq)
        if len(before) >= MOST_HEADS:
            half = len(before) // 2
            before = (*before[:half:2], *before[half:])
        return replace(
            self, heads=(*before, (seq, row_hash)), runs=max(self.runs, runs), tags=max(self.tags, tags)
        )


def anchors_of(store: Path, ledger: str | None) -> Iterator[Anchor]:
    """Yield what is kept of the ledger in this place, and of this ledger anywhere.

    Args:
        store: The store's file, there or not.
        ledger: Hash of its first row; None for a store that is missing or empty.
    """
    for file in _places(store, ledger):
        found = _read(file)
        if found is not None:
            yield found


def keep(anchor: Anchor, store: Path) -> None:
    """Write an anchor to every place; one that cannot be written to is left out."""
    text = json.dumps(asdict(anchor))
    for file in _places(store, anchor.ledger):
        with suppress(OSError):
            file.parent.mkdir(parents=True, exist_ok=True)
            replace_whole(file, text + "\n")


def _places(store: Path, ledger: str | None) -> Iterator[Path]:
    real = store.resolve()
    yield real.with_name(real.name + ENDING)
    try:
        folder = Path(platformdirs.user_state_dir("baywright")) / "heads"
    except (OSError, RuntimeError):
        return
    yield folder / f"place-{hashlib.sha256(str(real).encode('utf-8', 'replace')).hexdigest()[:32]}.json"
    if ledger is not None:
        yield folder / f"ledger-{ledger[:32]}.json"


def _read(file: Path) -> Anchor | None:
    """Return what a file keeps; None where it is missing or not as this program writes it."""
    try:
        kept = read_json(file)
        heads = tuple((int(seq), str(row_hash)) for seq, row_hash in kept["heads"])
        if not heads:
            return None
        return Anchor(
            ledger=str(kept["ledger"]),
            store=str(kept["store"]),
            heads=heads,
            runs=int(kept["runs"]),
            tags=int(kept["tags"]),
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None
