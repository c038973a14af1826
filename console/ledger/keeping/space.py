"""Warns before the disk is full."""

import shutil
from pathlib import Path

# A full write-ahead log takes some 4 MB twice over, a backup as much as the store: our own choice.
ENOUGH_BYTES = 50_000_000


def space_warning(store: Path) -> str | None:
    """Return a sentence for the sorter when the store's disk is nearly full, None while there is room."""
    free = shutil.disk_usage(store.parent).free
    if free >= ENOUGH_BYTES:
        return None
    return (
        f"Only {free / 1e6:.0f} MB are free on the disk that holds {store}; make room (at least "
        f"{ENOUGH_BYTES / 1e6:.0f} MB) before pieces cannot be written any more."
    )
