"""The search for the best sale: all at once where that is proved in time, else piece by piece."""

import math

import numpy as np

from console.yard.selling.neighbours import improved
from console.yard.selling.program import LEAST_PRICE, PROVED_WITHIN, Program
from console.yard.selling.sale import PlanError, Sale, Solved
from grade_library.normal import FloatArray

NONE_IN_TIME = "No sale was found within {seconds:g} s; give it more time, or plan fewer bales at once."
STEP = 0.2
"""Of the time, each: the search of everything; that in which bales may be split, which bounds it; that of
whole bales into the loads which it makes. What is left makes the best of them better (own choice)."""
NOTHING = "Tally pieces into bays first. There is nothing to sell."
NO_BUYER = "Write prices of bays, or orders ([[buyer.order]]), into yard.toml first. There is no buyer."
SHARE = 1e-6
"""Less than that of a source goes nowhere."""


def solve(sale: Sale, seconds: float) -> Solved:
    """Return the best sale found in time, with the proved bound on any other.

    Raises:
        PlanError: scipy is not there, or nothing was found in time.
    """
    if not sale.sources or not sale.outlets:
        raise PlanError(NOTHING if sale.outlets else NO_BUYER)
    program = Program(sale)
    if not program.pairs:
        return Solved(parts=(), money=program.kept, bound=program.kept)
    shares, bound = _searched(program, seconds)
    if shares is None:
        raise PlanError(NONE_IN_TIME.format(seconds=seconds))
    return program.solved(shares, bound)


def is_proved(solved: Solved) -> bool:
    """Whether no other sale brings more, but for what the search lets be."""
    return solved.gap <= PROVED_WITHIN * abs(solved.bound) + LEAST_PRICE


def if_split(sale: Sale, seconds: float) -> float | None:
    """Return what the best sale brought if bales could be split [currency]; None where time is short."""
    program = Program(sale)
    found = program.run(*program.bounds(), seconds, is_split=True)
    return program.kept - float(found.fun) if found.x is not None and found.status == 0 else None


def _searched(program: Program, seconds: float) -> tuple[FloatArray | None, float]:
    def best(low: FloatArray, high: FloatArray, seconds: float) -> FloatArray | None:
        return program.rounded(program.run(low, high, seconds).x)

    nothing, everything = program.bounds()
    found = program.run(nothing, everything, STEP * seconds)
    bound = math.inf if found.mip_dual_bound is None else -float(found.mip_dual_bound)
    shares = program.rounded(found.x)
    if shares is not None and bound - program.gains @ shares <= PROVED_WITHIN * abs(bound) + LEAST_PRICE:
        return shares, bound
    split = program.run(nothing, everything, STEP * seconds, is_split=True)
    if split.x is None:
        return shares, bound
    made = {number for at, (_, number) in enumerate(program.pairs) if split.x[at] > SHARE}
    same = [float(number in made) for _, number in program.pairs]
    again = best(nothing, np.concatenate([same, everything[len(same) :]]), STEP * seconds)
    if again is not None and (shares is None or program.gains @ again > program.gains @ shares):
        shares = again
    rest = (1.0 - 3.0 * STEP) * seconds
    shares = improved(shares, split.x, program.gains, program.bales(), best, rest)
    return shares, min(bound, -float(split.mip_dual_bound))
