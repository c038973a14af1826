"""When garbage is collected: while the keys rest, never between a key and what it paints.

Measured in a real terminal, 160x45, 250 ms between keys: left to itself, a full collection takes a key 70 to
110 ms; so timed, no key is held up by one.
"""

import gc
from collections.abc import Callable

from textual.timer import Timer

REST_S = 0.5
"""Garbage is collected when the keys have rested for so long [s]: half a piece later nobody notices."""
FULL_EVERY = 8
"""Every so many rests all garbage is looked for, else the new one."""
THRESHOLDS = (1_000, 100, FULL_EVERY + 2)
"""When it is collected between two keys all the same: small portions, and all of it only where the keys never
rest, as with a scanner: a rest counts as one of the last figure. Without it what had outlived a small portion
grew by 1.7 KB a piece.
"""


def spare_what_stays() -> None:
    """Leave out of every later collection what lives as long as the program: the library above all."""
    gc.freeze()
    gc.set_threshold(*THRESHOLDS)


class Garbage:
    """Collected at every rest of the keys."""

    def __init__(self, set_interval: Callable[..., Timer]) -> None:
        self._rests = 0
        self._timer = set_interval(REST_S, self._collect, pause=True)

    def key_pressed(self) -> None:
        """Wait for the next rest."""
        self._timer.reset()

    def _collect(self) -> None:
        self._timer.pause()
        self._rests += 1
        gc.collect(1 if self._rests % FULL_EVERY else 2)
