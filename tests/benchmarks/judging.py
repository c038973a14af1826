"""Whether an answer of the matcher counts, with twins as one, and what is noted of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from grade_library.facts import PieceFacts
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.matcher.melt import compile_melts, residual_scale
from grade_library.matcher.twins import finder_for
from grade_library.technique import Profile
from grade_library.verdict import Verdict
from tests.benchmarks.rivals import Rivals
from tests.benchmarks.simulated import MOST_SCALES


@dataclass(kw_only=True)
class Outcome:
    """What happened over many readings of one kind."""

    top1: list[bool] = field(default_factory=list)
    top3: list[bool] = field(default_factory=list)
    top5: list[bool] = field(default_factory=list)
    group: list[bool] = field(default_factory=list)
    family: list[bool] = field(default_factory=list)
    said: list[float] = field(default_factory=list)
    """Probability of the leading grade and its twins together."""
    sort_said: list[float] = field(default_factory=list)
    """Probability of the leading series, stainless type or brass colour."""
    sort_right: list[bool] = field(default_factory=list)
    unlisted: list[float] = field(default_factory=list)
    is_called_unlisted: list[bool] = field(default_factory=list)
    is_far: list[bool] = field(default_factory=list)
    rival: dict[str, list[bool]] = field(
        default_factory=lambda: {"nearest midpoint": [], "most limits met": []}
    )
    misses: dict[str, int] = field(default_factory=dict)


class Judge:
    """Whether an answer counts, with twins as one."""

    def __init__(self, library: GradeLibrary, profile: Profile) -> None:
        self.library = library
        self.profile = profile
        self.finder = finder_for(library, profile)
        self.rivals = Rivals(library)
        self.melts = compile_melts(library, profile.unseen, normalises=profile.normalises)
        columns = [library.elements.index(symbol) for symbol in self.melts.elements]
        named = ~np.isnan(library.low) | ~np.isnan(library.high) | library.is_rest
        self.named = named[:, columns]
        self.stray = np.array(
            [
                [MOST_SCALES * residual_scale(grade.group, symbol) for symbol in self.melts.elements]
                for grade in library.grades
            ]
        )

    def is_same(self, named: Grade, truth: Grade) -> bool:
        """True when the grade named is the true one or a twin of it for this technique."""
        if named.grade_id == truth.grade_id:
            return True
        twins = self.finder.twins(self.library.index_of(named.grade_id))
        return any(twin.grade_id == truth.grade_id for twin in twins)

    def together(self, grade: Grade) -> list[Grade]:
        """Return a grade and its twins."""
        return [grade, *self.finder.twins(self.library.index_of(grade.grade_id))]

    def note(self, outcome: Outcome, verdict: Verdict, facts: PieceFacts, truth: Grade, name: str) -> None:
        """Add one answer to the outcome."""
        ranked = [candidate.grade for candidate in verdict.candidates]
        ranked = ranked or [candidate.grade for candidate in verdict.nearest]
        same = [self.is_same(grade, truth) for grade in ranked[:5]]
        outcome.top1.append(bool(same[:1] == [True]))
        outcome.top3.append(any(same[:3]))
        outcome.top5.append(any(same[:5]))
        first = self.together(ranked[0])
        outcome.group.append(truth.group in {grade.group for grade in first})
        outcome.family.append(truth.family in {grade.family for grade in first})
        if not outcome.top1[-1]:
            key = f"{name} -> {ranked[0].grade_id}"
            outcome.misses[key] = outcome.misses.get(key, 0) + 1
        ids = {grade.grade_id for grade in first}
        outcome.said.append(sum(c.probability for c in verdict.candidates if c.grade.grade_id in ids))
        self._note_sorting(outcome, verdict, truth)
        outcome.unlisted.append(verdict.unlisted)
        outcome.is_called_unlisted.append(bool(verdict.nearest))
        self._note_rivals(outcome, facts, truth)

    def _note_rivals(self, outcome: Outcome, facts: PieceFacts, truth: Grade) -> None:
        reading = facts.shots[0].reading
        for key, order in (
            ("nearest midpoint", self.rivals.nearest_midpoint(reading)),
            ("most limits met", self.rivals.most_limits_met(reading)),
        ):
            outcome.rival[key].append(self.is_same(self.library.grades[int(order[0])], truth))

    def _note_sorting(self, outcome: Outcome, verdict: Verdict, truth: Grade) -> None:
        sums: dict[tuple[str, str], float] = {}
        for candidate in verdict.candidates:
            key = sorting_class(candidate.grade)
            sums[key] = sums.get(key, 0.0) + candidate.probability
        if sums:
            best = max(sums, key=lambda key: (sums[key], key))
            # Of what is listed: an unlisted alloy has no series, and the family answer is given on the
            # same terms.
            outcome.sort_said.append(min(sums[best] / max(1.0 - verdict.unlisted, 1e-9), 1.0))
            outcome.sort_right.append(best == sorting_class(truth))
        else:
            outcome.sort_said.append(0.0)
            outcome.sort_right.append(False)

    def sigmas_out(self, melt: Mapping[str, float]) -> float:
        """Return how far, in σ of one reading, the grade that fits a melt best is missed by its worst
        element."""
        seen = {symbol: x for symbol, x in melt.items() if symbol not in self.profile.unseen}
        scale = 100.0 / sum(seen.values()) if self.profile.normalises else 1.0
        worst = np.zeros(len(self.library))
        for j, symbol in enumerate(self.melts.elements):
            term = self.melts.index[:, j]
            value = seen.get(symbol, 0.0) * scale
            # A residual has no limit of its own: as much as is ever drawn counts as inside.
            high = np.where(
                self.named[:, j], self.melts.high[term], np.maximum(self.melts.high[term], self.stray[:, j])
            )
            out = np.maximum(self.melts.low[term] - value, value - high)
            worst = np.maximum(worst, out / self.profile.sigma(symbol, value))
        return float(worst.min())


def sorting_class(grade: Grade) -> tuple[str, str]:
    """Return what a yard sorts by: the aluminium series, the stainless type, the colour of a brass or
    bronze."""
    if grade.group in {"aluminium", "stainless"}:
        return grade.group, grade.series
    if grade.group in {"brass", "bronze", "copper"}:
        return "copper alloy", grade.colour.value
    return grade.group, ""
