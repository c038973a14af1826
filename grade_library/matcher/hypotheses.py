"""From evidence to probabilities: every grade, an unlisted member of every kind, and a metal of no kind."""

import math
from dataclasses import dataclass

import numpy as np

from grade_library.matcher.evidence import Compiled, Evidence, ReadingEvidence
from grade_library.matcher.unlisted import broad_log_density, named_after_log_chance
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
NO_KIND_SHARE = 0.002
"""Share of unlisted metals that belong to no family at all (memory)."""
VARIANT_SHARE = 0.85
"""Share of unlisted alloys that are a listed grade but for one element."""
N_VARIANTS = 24
"""So many of the likeliest grades are tried with one element exchanged."""
CLEARLY_BETTER = 10.0
"""An exchanged element counts by as much as it explains the reading better than this many times."""
FEWEST_EXCHANGED = 6
"""Where fewer elements were reported, the one that was exchanged may be among those that were not."""
_LEAST = 1e-300
NEVER = -1e6
"""Logarithm of what cannot be, finite so that sums of it stay numbers [nats]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Joint:
    """Prior and likelihood of everything that a metal can be [nats]."""

    listed: FloatArray
    """Of each grade, shape (n_grades,)."""
    members: FloatArray
    """Of an unlisted member of each kind, shape (n_kinds,)."""
    no_kind: float
    """Of a metal of no kind."""

    @property
    def total(self) -> float:
        """All of it together [nats]."""
        return log_sum_exp(np.array([log_sum_exp(self.listed), log_sum_exp(self.members), self.no_kind]))

    def and_also(self, log_factor: float) -> "Joint":
        """Return the same where something else that says nothing of the metal is known, too [nats]."""
        return Joint(
            listed=self.listed + log_factor,
            members=self.members + log_factor,
            no_kind=self.no_kind + log_factor,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """What is known after all facts; all of it sums to 1."""

    probability: FloatArray
    """Of each grade, shape (n_grades,)."""
    members: FloatArray
    """Of an unlisted member of each kind, shape (n_kinds,)."""
    no_kind: float
    """Of a metal of no kind."""

    @property
    def unlisted(self) -> float:
        """Probability that no grade of the library fits."""
        return min(1.0, float(self.members.sum()) + self.no_kind)


def normalised(joint: Joint) -> Posterior:
    """Return the probabilities that belong to a joint."""
    peak = max(float(joint.listed.max()), float(joint.members.max()), joint.no_kind)
    listed, members = np.exp(joint.listed - peak), np.exp(joint.members - peak)
    no_kind = math.exp(joint.no_kind - peak)
    total = float(listed.sum()) + float(members.sum()) + no_kind
    return Posterior(probability=listed / total, members=members / total, no_kind=no_kind / total)


def weigh(evidence: Evidence, shares: FloatArray, compiled: Compiled) -> Posterior:
    """Return the probability of every grade, of an unlisted member of every kind, and of no kind.

    Args:
        evidence: What the facts say.
        shares: Frequency of each grade before, shape (n_grades,), sum 1.
        compiled: What was worked out for the library.
    """
    return normalised(joint_of(evidence, shares, compiled))


def joint_of(evidence: Evidence, shares: FloatArray, compiled: Compiled) -> Joint:
    """Return prior and likelihood of everything that the metal can be.

    An unlisted member of a kind is two hypotheses: an alloy that takes each element from the habits of the
    kind, and a listed grade of it but for one element. Neither says anything of hand and eye: there it is
    like the average grade of its kind.
    """
    prior = unlisted_before(evidence)
    log_joint = np.log(shares) + evidence.log_likelihood
    top = float(evidence.by_hand.max())
    by_kind = np.log(compiled.kinds.summed(shares * np.exp(evidence.by_hand - top)) + _LEAST) + top
    members = by_kind.copy()
    no_kind = log_sum_exp(by_kind)
    for reading in evidence.readings:
        members += reading.unlisted.sum(axis=1)
        no_kind += float(broad_log_density(reading.observed.value).sum())
    if evidence.readings:
        variants = [_variants(reading, log_joint, compiled) for reading in evidence.readings]
        exchanged = np.logaddexp.reduce(np.array(variants), axis=0) - math.log(len(variants))
        members = np.logaddexp(np.log1p(-VARIANT_SHARE) + members, np.log(VARIANT_SHARE) + exchanged)
        for reading in evidence.readings:
            value = reading.observed.value
            members += named_after_log_chance(reading.readable.unlisted, value, reading.most_stray)
    return Joint(
        listed=np.log1p(-prior) + log_joint,
        members=math.log(prior * (1.0 - NO_KIND_SHARE)) + members,
        no_kind=math.log(prior * NO_KIND_SHARE) + no_kind,
    )


def unlisted_before(evidence: Evidence) -> float:
    """Return the chance of unlisted before the facts, larger the more elements of one reading were
    reported."""
    n = max((reading.n_reported for reading in evidence.readings), default=0)
    hand, whole = (np.log(p / (1.0 - p)) for p in (UNLISTED_BY_HAND, UNLISTED_BY_READING))
    logit = hand + min(n / WHOLE_READING, 1.0) * (whole - hand)
    return float(1.0 / (1.0 + np.exp(-logit)))


def _variants(reading: ReadingEvidence, log_joint: FloatArray, compiled: Compiled) -> FloatArray:
    """Return the joint log-likelihood of "a listed grade but for one element" by kind [nats].

    Only what an exchange explains better than the grade itself counts: where the grade fits there is no
    variant.
    """
    n = min(N_VARIANTS, len(log_joint) - 1)
    rows = np.argpartition(-log_joint, n)[:n]
    kinds = compiled.kinds.kind_of[rows]
    gain = reading.unlisted[kinds] - reading.of_elements(rows)
    better = np.maximum(np.exp(np.minimum(gain, 600.0)) - CLEARLY_BETTER, _LEAST)
    total = log_joint[rows] + np.log(better.sum(axis=1))
    by_kind = np.full(len(compiled.kinds.kinds), NEVER)
    np.logaddexp.at(by_kind, kinds, total)
    # An alloy is varied in what it is made of: the elements found share the chance of being the one
    # exchanged.
    return by_kind - math.log(max(len(reading.averaged.values), FEWEST_EXCHANGED))
