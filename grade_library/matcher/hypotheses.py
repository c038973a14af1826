"""From evidence to probabilities: every grade, and that none of them fits."""

import math
from dataclasses import dataclass

import numpy as np

from grade_library.matcher.evidence import Compiled, Evidence, ReadingEvidence
from grade_library.normal import FloatArray, log_sum_exp

UNLISTED_BY_HAND = 0.015
"""Chance that a piece is of no grade of the library, before anything is known of it (memory)."""
UNLISTED_BY_READING = 0.27
"""The same where a whole reading speaks. The density of an unlisted alloy is thin, since it draws every
element on its own while real alloys keep to the habits of their kind; this makes up for it. Fitted on grades
left out of the library, so that no more than one listed melt in fifty is called unlisted
(tests/benchmarks/accuracy.py)."""
WHOLE_READING = 8
"""So many reported elements make a whole reading; fewer make up for less in proportion."""
VARIANT_SHARE = 0.925
"""Share of unlisted alloys that are a listed grade but for one element."""
N_VARIANTS = 24
"""So many of the likeliest grades are tried with one element exchanged."""
CLEARLY_BETTER = 10.0
"""An exchanged element counts by as much as it explains the reading better than this many times."""
FEWEST_EXCHANGED = 6
"""Where fewer elements were reported, the one that was exchanged may be among those that were not."""
_LEAST = 1e-300


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """What is known after all facts."""

    probability: FloatArray
    """Of each grade, shape (n_grades,)."""
    unlisted: float
    """That no grade fits; with all grades it sums to 1."""


def weigh(evidence: Evidence, shares: FloatArray, compiled: Compiled) -> Posterior:
    """Return the probability of every grade and of none.

    Args:
        evidence: What the facts say.
        shares: Frequency of each grade before, shape (n_grades,), sum 1.
        compiled: What was worked out for the library.

    Unlisted is two hypotheses: an alloy that takes each element from the habits of a group, and a listed
    grade but for one element. Neither says anything of hand and eye: there it is like the average grade of
    its group.
    """
    prior = _unlisted_before(evidence)
    log_joint = np.log(shares) + evidence.log_likelihood
    top = float(evidence.by_hand.max())
    weight = shares * np.exp(evidence.by_hand - top)
    log_groups = np.log(np.bincount(compiled.group_of, weight, minlength=len(compiled.groups)) + _LEAST) + top
    independent = log_groups + sum(reading.unlisted.sum(axis=1) for reading in evidence.readings)
    log_unlisted = log_sum_exp(independent)
    if evidence.readings:
        variants = [_variants(reading, log_joint, compiled) for reading in evidence.readings]
        log_unlisted = float(
            np.logaddexp(
                np.log1p(-VARIANT_SHARE) + log_unlisted,
                np.log(VARIANT_SHARE / len(variants)) + log_sum_exp(np.array(variants)),
            )
        )
    log_listed, log_none = np.log1p(-prior) + log_joint, np.log(prior) + log_unlisted
    peak = max(float(log_listed.max()), log_none)
    listed, none = np.exp(log_listed - peak), float(np.exp(log_none - peak))
    total = float(listed.sum()) + none
    return Posterior(probability=listed / total, unlisted=none / total)


def _unlisted_before(evidence: Evidence) -> float:
    """Return the chance of unlisted before the facts, larger the more elements of one reading were
    reported."""
    n = max((reading.n_reported for reading in evidence.readings), default=0)
    hand, whole = (np.log(p / (1.0 - p)) for p in (UNLISTED_BY_HAND, UNLISTED_BY_READING))
    logit = hand + min(n / WHOLE_READING, 1.0) * (whole - hand)
    return float(1.0 / (1.0 + np.exp(-logit)))


def _variants(reading: ReadingEvidence, log_joint: FloatArray, compiled: Compiled) -> float:
    """Return the joint log-likelihood of "a listed grade but for one element" [nats].

    Only what an exchange explains better than the grade itself counts: where the grade fits there is no
    variant.
    """
    n = min(N_VARIANTS, len(log_joint) - 1)
    rows = np.argpartition(-log_joint, n)[:n]
    gain = reading.unlisted[compiled.group_of[rows]] - reading.of_elements(rows)
    better = np.log(np.maximum(np.exp(np.minimum(gain, 600.0)) - CLEARLY_BETTER, _LEAST))
    total = log_sum_exp(log_joint[rows, None] + better)
    # An alloy is varied in what it is made of: the elements found share the chance of being the one
    # exchanged.
    return total - math.log(max(len(reading.averaged.values), FEWEST_EXCHANGED))
