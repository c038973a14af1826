"""The acts of a run in their order, kept so small that a long shift costs next to nothing."""

from array import array
from collections.abc import Callable, Iterator

from console.ledger.rows.rows import Row

AT_HAND = 64
"""Newest acts kept whole; nobody takes back more at a stretch without reading them (own choice)."""


class Acts:
    """A stack of rows, newest last. Of all but the newest only the number is kept: the store has the rest."""

    def __init__(self, load: Callable[[int], Row]) -> None:
        """Begin with none.

        Args:
            load: Gives the row of a number from the store.
        """
        self._load = load
        self._seqs = array("q")
        self._rows: dict[int, Row] = {}

    def __len__(self) -> int:
        return len(self._seqs)

    def __iter__(self) -> Iterator[Row]:
        return (self._row(seq) for seq in self._seqs)

    def __reversed__(self) -> Iterator[Row]:
        return (self._row(seq) for seq in reversed(self._seqs))

    def newest(self, count: int) -> list[Row]:
        """Return so many of the newest acts, or as many as there are, oldest of them first."""
        return [self._row(seq) for seq in self._seqs[max(0, len(self._seqs) - count) :]]

    def append(self, row: Row) -> None:
        """Add the newest act."""
        self.insert(len(self._seqs), row)

    def insert(self, place: int, row: Row) -> None:
        """Add an act before the one at a place, counted from the oldest."""
        self._seqs.insert(place, row.seq)
        self._rows[row.seq] = row
        if len(self._rows) > AT_HAND:
            kept = self._seqs[-AT_HAND:]
            self._rows = {seq: self._rows[seq] for seq in kept if seq in self._rows}

    def pop(self) -> None:
        """Forget the newest act."""
        self._rows.pop(self._seqs.pop(), None)

    def clear(self) -> None:
        """Forget all of them."""
        del self._seqs[:]
        self._rows.clear()

    def _row(self, seq: int) -> Row:
        return self._rows.get(seq) or self._load(seq)
