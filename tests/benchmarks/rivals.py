"""Two plain ways of naming a grade, to be beaten: the nearest midpoint, and the most limits satisfied."""

import numpy as np
from numpy.typing import NDArray

from grade_library.facts import Reading
from grade_library.library import GradeLibrary
from grade_library.matcher.melt import spreads_of


class Rivals:
    """Both rivals over one library."""

    def __init__(self, library: GradeLibrary) -> None:
        spreads = spreads_of(library)
        named = ~np.isnan(library.low) | ~np.isnan(library.high) | library.is_rest
        rest_mid = 0.5 * (spreads.low + spreads.high)
        self._middle = np.where(
            spreads.is_rest, rest_mid, np.where(named, 0.5 * (spreads.low + spreads.high), 0.0)
        )
        self._low = np.where(np.isnan(library.low), np.where(spreads.is_rest, spreads.low, 0.0), library.low)
        each = np.broadcast_to(
            np.where(np.isnan(library.others_each), 0.1, library.others_each)[:, None], named.shape
        )
        high = np.where(np.isnan(library.high), np.where(named, 100.0, each), library.high)
        self._high = np.where(spreads.is_rest & np.isnan(library.high), spreads.high, high)
        self._columns = {symbol: j for j, symbol in enumerate(library.elements)}

    def _laid_out(self, reading: Reading) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
        columns = [self._columns[symbol] for symbol in reading.values if symbol in self._columns]
        values = [value for symbol, value in reading.values.items() if symbol in self._columns]
        return np.array(columns), np.array(values)

    def nearest_midpoint(self, reading: Reading) -> NDArray[np.int64]:
        """Return the rows of all grades, the smallest Euclidean distance to the midpoint of the limits
        first."""
        columns, values = self._laid_out(reading)
        distance = ((self._middle[:, columns] - values) ** 2).sum(axis=1)
        return np.argsort(distance, kind="stable")

    def most_limits_met(self, reading: Reading) -> NDArray[np.int64]:
        """Return the rows of all grades, the most limits satisfied first; the nearest midpoint among
        equals."""
        columns, values = self._laid_out(reading)
        met = ((values >= self._low[:, columns]) & (values <= self._high[:, columns])).sum(axis=1)
        distance = ((self._middle[:, columns] - values) ** 2).sum(axis=1)
        return np.lexsort((distance, -met))
