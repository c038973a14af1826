"""A sale made better piece by piece, with a solver that tries everything."""

import itertools

import numpy as np

from console.yard.selling.neighbours import AT_ONCE, improved
from grade_library.normal import FloatArray

GAINS = np.array([3.0, 5.0, 4.0, 6.0, 2.0, 7.0])
WEIGHTS = np.array([2.0, 3.0, 3.0, 4.0, 1.0, 5.0])
ROOM = 8.0
"""A knapsack: what fits is tried out."""


class Trying:
    """Solves by trying every choice, and remembers what was left free."""

    def __init__(self) -> None:
        self.free: list[int] = []

    def __call__(self, low: FloatArray, high: FloatArray, seconds: float) -> FloatArray | None:
        self.free.append(int((low < high).sum()))
        ends = [sorted({a, b}) for a, b in zip(low, high, strict=True)]
        choices = (np.array(one) for one in itertools.product(*ends))
        fitting = [one for one in choices if WEIGHTS @ one <= ROOM]
        return max(fitting, key=lambda one: float(GAINS @ one)) if fitting else None


def groups() -> list[list[int]]:
    return [[at] for at in range(len(GAINS))]


def test_it_ends_at_the_best_sale() -> None:
    """From nothing at all to the most that fits."""
    found = improved(np.zeros(6), np.zeros(6), GAINS, groups(), Trying(), 0.2)

    assert found is not None
    everything = Trying()(np.zeros(6), np.ones(6), 1.0)
    assert everything is not None
    assert GAINS @ found == GAINS @ everything == 13.0
    assert WEIGHTS @ found <= ROOM


def test_what_the_split_sale_left_whole_is_kept_at_first() -> None:
    """Only the bales that it split are placed anew in the first step."""
    trying = Trying()
    improved(None, np.array([1.0, 0.5, 0.0, 0.5, 1.0, 0.0]), GAINS, groups(), trying, 0.2)

    assert trying.free[0] == 2
    assert set(trying.free[1:]) == {min(AT_ONCE, len(GAINS))}


def test_a_worse_sale_is_never_taken() -> None:
    """A solver that brings less, or nothing, changes nothing."""
    best = np.array([1.0, 1.0, 0.0, 0.0, 0.0, 0.0])

    assert improved(best, best, GAINS, groups(), lambda low, high, seconds: np.zeros(6), 0.1) is best
    assert improved(best, best, GAINS, groups(), lambda low, high, seconds: None, 0.1) is best
    assert improved(None, np.zeros(6), GAINS, groups(), lambda low, high, seconds: None, 0.1) is None
