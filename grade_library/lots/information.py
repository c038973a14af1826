"""What a check is worth before it is made: the probabilities after each finding, and the value of knowing
it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.normal import FloatArray

LEAST_CHANCE = 1e-9
"""Findings less likely than this are left out."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Findings:
    """Everything that a check can find."""

    index: NDArray[np.int64]
    """Which of the findings asked for are possible, shape (n_findings,)."""
    chance: FloatArray
    """Of each, shape (n_findings,), sum 1."""
    after: FloatArray
    """Probability of each state after it, shape (n_findings, n_states); each row sums to what was listed
    before."""


def findings(prior: FloatArray, likelihood: FloatArray) -> Findings:
    """Return what a check can find and what would be known then, by Bayes' rule.

    Args:
        prior: Probability of each state, shape (n_states,). Where it sums to less than 1, the rest is a
            state that shows what the others show on average, and its probability stays.
        likelihood: Chance of each finding in each state, shape (n_findings, n_states); columns sum to 1.
    """
    listed = float(prior.sum())
    joint = likelihood * prior
    chance = joint.sum(axis=1) / listed
    index = np.flatnonzero(chance > LEAST_CHANCE)
    chance = chance[index]
    return Findings(index=index, chance=chance, after=joint[index] / chance[:, None])
