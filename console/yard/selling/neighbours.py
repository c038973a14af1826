"""A sale made better piece by piece, where there was no time to search everything through.

Most of it is kept as it is and a dozen bales are placed anew, over and over: large neighbourhood search. It
proves nothing; the bound comes from the search of everything.

Source: P. Shaw, Using Constraint Programming and Local Search Methods to Solve Vehicle Routing Problems,
CP98, 1998; E. Danna, E. Rothberg, C. Le Pape, Exploring relaxation induced neighborhoods to improve MIP
solutions, Mathematical Programming 102, 2005 (both from memory; the sizes here are our own choice).
"""

import random
import time
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from grade_library.normal import FloatArray

Solver = Callable[["FloatArray", "FloatArray", float], "FloatArray | None"]
"""Gives the best shares found between a lower and an upper bound of each, in so many seconds, or None."""
AT_ONCE = 10
"""Bales placed anew at once: few enough for a solution in a tenth of a second."""
LEAST_SECONDS = 0.05
MOST_SECONDS = 0.25
"""For one neighbourhood [s]."""
SEED = 20260314
WHOLE = 1e-6
"""A share so near to 0 or 1 is that."""


def improved(
    start: "FloatArray | None",
    loose: "FloatArray",
    gains: "FloatArray",
    groups: Sequence[Sequence[int]],
    solver: Solver,
    seconds: float,
) -> "FloatArray | None":
    """Return shares that bring at least as much as those at the start, as far as time goes.

    Args:
        start: Shares of a sale within every limit, shape (n,); None where none was found.
        loose: Shares of the best sale if bales could be split, shape (n,); bales that it leaves whole stay.
        gains: What each share of 1 brings [currency], shape (n,).
        groups: Of every bale the places of its shares.
        solver: Solves what is left free.
        seconds: For all of it [s].
    """
    end, chance = time.monotonic() + seconds, random.Random(SEED)
    best = start
    split = [at for at, group in enumerate(groups) if any(WHOLE < loose[one] < 1 - WHOLE for one in group)]
    free: Sequence[int] = split
    hint = loose
    while (left := end - time.monotonic()) > LEAST_SECONDS and groups:
        low, high = np.zeros(len(gains)), np.ones(len(gains))
        for at in set(range(len(groups))) - set(free):
            places = list(groups[at])
            low[places] = high[places] = np.round(hint[places])
        found = solver(low, high, min(left, MOST_SECONDS))
        if found is not None and (best is None or gains @ found > gains @ best):
            best = found
        if best is None:
            return None
        hint, free = best, chance.sample(range(len(groups)), min(AT_ONCE, len(groups)))
    return best
