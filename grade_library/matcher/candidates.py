"""Candidates with their reasons and twins, from what was weighed."""

import functools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.later import Later
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Compiled, Evidence
from grade_library.matcher.hypotheses import Posterior
from grade_library.matcher.prior import Prior
from grade_library.matcher.telling.reasons import ReasonTable, WholeEvidence
from grade_library.matcher.twins import finder_for
from grade_library.normal import FloatArray
from grade_library.technique import Profile
from grade_library.verdict import Candidate, ReasonKind

LEAST_SHOWN = 0.001
"""Candidates below this probability are not listed."""
MOST_SHOWN = 25


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weighed:
    """Everything that was weighed for one piece."""

    library: GradeLibrary
    compiled: Compiled
    prior: Prior
    shares: FloatArray
    """Frequency of each grade before the facts, shape (n_grades,)."""
    evidence: Evidence
    posterior: Posterior
    """What is known after the facts."""
    profile: Profile
    """The technique whose twins are named."""

    def leading(self) -> NDArray[np.int64]:
        """Return the rows worth listing by probability, then grade id (rows are in order of grade id)."""
        rows = np.flatnonzero(self.posterior.probability >= LEAST_SHOWN)
        return rows[np.argsort(-self.posterior.probability[rows], kind="stable")][:MOST_SHOWN]

    def nearest(self, n: int) -> NDArray[np.int64]:
        """Return the rows of the n grades that the facts alone fit best, whatever their frequency."""
        found = self.evidence.log_likelihood
        best = np.sort(np.argpartition(found, -n)[-n:])
        return np.asarray(best[np.argsort(-found[best], kind="stable")])

    def candidates(self, rows: NDArray[np.int64]) -> list[Candidate]:
        """Return these grades with probability, in this order; twins and reasons follow when looked at."""
        if not rows.size:
            return []
        kind = int(self.compiled.kinds.kind_of[rows[0]])
        table = ReasonTable(rows, self.library, self.evidence.readings, self._whole(rows), kind=kind)
        finder = finder_for(self.library, self.profile)
        return [
            Candidate(
                grade=self.library.grades[row],
                probability=float(self.posterior.probability[row]),
                twins=Later(functools.partial(finder.twins, row)),
                reasons=Later(functools.partial(table.of, place)),
            )
            for place, row in enumerate(rows.tolist())
        ]

    def _whole(self, rows: NDArray[np.int64]) -> list[WholeEvidence]:
        """Return the facts that are not about one element, each against the average grade."""
        evidence = self.evidence
        facts = [(ReasonKind.BENCH, fact) for fact in evidence.bench]
        facts += [(ReasonKind.CLAIM, evidence.claim)] if evidence.claim else []
        whole = [
            WholeEvidence(
                kind=kind,
                name=fact.name,
                weights=fact.log_likelihood - np.log(np.dot(self.shares, np.exp(fact.log_likelihood))),
                named=fact.named,
            )
            for kind, fact in facts
        ]
        if self.prior.counted:
            # Against the candidates themselves: that a grade is rare matters only where a commoner one is
            # in question.
            logs = np.log(self.shares)
            weights = logs - float(logs[rows].mean())
            name = f"{self.prior.label} ({self.prior.counted} pieces counted)"
            whole.append(WholeEvidence(kind=ReasonKind.PRIOR, name=name, weights=weights))
        return whole
