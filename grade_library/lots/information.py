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


def value_of_sample(prior: FloatArray, likelihood: FloatArray, payoff: FloatArray) -> float:
    """Return what a check is worth before its cost, when the best act is taken without and with it.

    Args:
        prior: Probability of each state, shape (n_states,), sum 1.
        likelihood: Chance of each finding in each state, shape (n_findings, n_states).
        payoff: Of each act in each state, shape (n_acts, n_states).

    Source: Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961: Σ P(s) max E[u|s] - max E[u].

    >>> sorted_form = np.array([[1.0, -3.0], [0.0, 0.0]])
    >>> test = np.array([[0.95, 0.05], [0.05, 0.95]])
    >>> round(value_of_sample(np.array([0.7, 0.3]), test, sorted_form), 2)
    0.62
    """
    found = findings(prior, likelihood)
    with_check = float(found.chance @ (found.after @ payoff.T).max(axis=1))
    return with_check - float((payoff @ prior).max())


def value_of_certainty(prior: FloatArray, payoff: FloatArray) -> float:
    """Return what it would be worth to know the state: no check is worth more."""
    return float(prior @ payoff.max(axis=0) - (payoff @ prior).max())
