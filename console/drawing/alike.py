"""Which candidates are one answer, because nothing that was measured can tell them apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from grade_library.verdict import Candidate


@dataclass(frozen=True, slots=True)
class Answer:
    """One grade, or several twins that share the answer."""

    members: tuple["Candidate", ...]
    """Likeliest first; the others are twins of the first."""

    @property
    def probability(self) -> float:
        """Of all members together, 0..1."""
        return min(1.0, sum(candidate.probability for candidate in self.members))


def answers_of(candidates: Sequence["Candidate"]) -> tuple[Answer, ...]:
    """Return candidates as answers, likeliest first: each with those of its twins that no likelier one has.

    Twins split their probability between them by nothing but how often each is met. Shown apart, 53 % beside
    29 % looks like a doubt that no measurement could ever settle.
    """
    left = list(candidates)
    answers = []
    while left:
        first = left.pop(0)
        names = {twin.grade_id for twin in first.twins}
        alike = [one for one in left if one.grade.grade_id in names]
        answers.append(Answer((first, *alike)))
        left = [one for one in left if one.grade.grade_id not in names]
    return tuple(sorted(answers, key=lambda answer: -answer.probability))
