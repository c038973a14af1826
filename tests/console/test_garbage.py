"""When garbage is collected."""

import gc
from collections.abc import Iterator

import pytest

from console.garbage import FULL_EVERY, spare_what_stays


@pytest.fixture
def spared() -> Iterator[None]:
    """Collect as the console does, for the time of a test."""
    before = gc.get_threshold()
    spare_what_stays()
    gc.collect()
    yield
    gc.unfreeze()
    gc.set_threshold(*before)


def _full_ones_within(portions: int) -> int:
    """Allocate until so many middle collections have come; return how many full ones came with them."""
    middle, full = (gc.get_stats()[generation]["collections"] for generation in (1, 2))
    kept: list[list[int]] = []
    while gc.get_stats()[1]["collections"] + gc.get_stats()[2]["collections"] - middle - full < portions:
        kept.extend([] for _ in range(1_000))
    return int(gc.get_stats()[2]["collections"]) - full


@pytest.mark.usefixtures("spared")
def test_without_a_rest_all_garbage_is_looked_for_at_last() -> None:
    """Where the keys never rest, a full collection comes all the same, not before rests would."""
    assert _full_ones_within(FULL_EVERY) == 0
    assert _full_ones_within(4) == 1
