"""What identify() concludes: grades with probabilities, and why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from grade_library.grade import Grade
from grade_library.material import MATERIAL_GROUP

EVEN = 0.50
"""Share of the probability below which a name would more likely be wrong than right."""


class ReasonKind(StrEnum):
    """What a reason speaks of."""

    INSIDE = "inside"
    """An element lies inside its limits."""
    OUTSIDE = "outside"
    """An element lies outside a limit."""
    RESIDUAL = "residual"
    """An element that the grade does not name."""
    BENCH = "bench"
    CLAIM = "claim"
    PRIOR = "prior"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One piece of evidence for or against a candidate."""

    kind: ReasonKind
    text: str
    """In the sorter's words: "Cr 18.2 inside 17.5-19.5"; "Ni 9.1 is 1.1 over 8.0 (4.2 σ)"."""
    weight_nats: float
    """Log-likelihood it adds, against the average of all candidates: > 0 speaks for, < 0 against."""
    element: str | None = None
    excess_wt_pct: float = 0.0
    """How far outside its limit [wt %], signed: > 0 above the maximum, < 0 below the minimum."""
    excess_sigma: float = 0.0
    """The same in standard uncertainties of the reading."""

    @property
    def is_for(self) -> bool:
        """True when it speaks for the candidate."""
        return self.weight_nats >= 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One grade with how probable it is and why."""

    grade: Grade
    probability: float
    """0..1; all candidates and `unlisted` sum to 1."""
    twins: Sequence[Grade] = ()
    """Grades that the technique at hand cannot tell from this one."""
    reasons: Sequence[Reason] = ()
    """At most five, strongest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SkinVerdict:
    """Whether the readings are of a skin, and what lies beneath."""

    is_suspected: bool
    coating: str | None
    """Name of the likeliest coating; None when none is suspected."""
    probability: float
    """That the last shot still reads (in part) a skin, 0..1."""
    shares: tuple[float, ...]
    """Estimated share of skin in each shot, 0..1, in the order shot."""
    has_arrived: bool
    """The series has come to the core: two agreeing shots after the last grind."""
    core: tuple[Candidate, ...]
    """What lies beneath; the candidates of the piece where no skin is suspected."""
    advice: str = ""
    """What to do: "looks like chromium over nickel: grind to yellow and shoot again"."""
    tell: str = ""
    """What splits the metal from a skin that reads the same, and what each answer means; empty where none
    does."""
    is_plate_alone: bool = False
    """All that is known may be known of a plating: one look at the surface as found, of metal that others are
    plated with."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One grade, or several twins that share the answer."""

    members: tuple[Candidate, ...]
    """Likeliest first; the others are twins of the first."""

    @property
    def grade_id(self) -> str:
        """Of the likeliest member."""
        return self.members[0].grade.grade_id

    @property
    def probability(self) -> float:
        """Of all members together, 0..1."""
        return min(1.0, sum(candidate.probability for candidate in self.members))


def answers_of(candidates: Sequence[Candidate]) -> tuple[Answer, ...]:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyShare:
    """How probable one family of metal is, listed or not."""

    family: str
    group: str
    series: str
    """The family's name again where it has no series of its own."""
    listed: float
    """Probability of its grades together, 0..1."""
    unlisted: float
    """Probability of an alloy of the family that the library does not list, 0..1."""

    @property
    def probability(self) -> float:
        """Of both together, 0..1."""
        return self.listed + self.unlisted


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a piece can be."""

    candidates: tuple[Candidate, ...]
    """Sorted by probability, then grade_id; down to 0.1 % or at most 25; empty when no fact is known."""
    unlisted: float
    """Probability that no grade of the library fits, 0..1."""
    share_by_id: Mapping[str, float] = field(default_factory=dict)
    """Probability of every grade, however improbable; with `unlisted` it sums to 1."""
    families: tuple[FamilyShare, ...] = ()
    """By probability, then name; with `no_family` they sum to 1. Empty when no fact is known."""
    no_family: float = 0.0
    """Probability of a metal of no family that the library knows, 0..1."""
    nearest: tuple[Candidate, ...] = ()
    """When `unlisted` leads: the grades that fit least badly, at most three, with what keeps them from
    fitting."""
    family_answer: str = ""
    """What is sure even when the grade is open: "300-series stainless, nickel about 8 %"."""
    warnings: tuple[str, ...] = ()
    """About the facts themselves: "reading sums to 93.1 %", "x-rays do not see carbon"."""
    skin: SkinVerdict | None = None
    is_guess: bool = False
    """Nothing that was said tells one metal from another: what leads is what a yard meets most."""

    @property
    def best(self) -> Candidate | None:
        """The likeliest grade, None when nothing is known."""
        return self.candidates[0] if self.candidates else None

    @property
    def leading(self) -> Answer | None:
        """The likeliest answer: a grade together with those that nothing measured can tell from it.

        Many twins that share an answer can lead though a single other grade is likelier than each of them.
        """
        answers = answers_of(self.candidates)
        return answers[0] if answers else None

    @property
    def is_named(self) -> bool:
        """True where somebody named a material, which no check can weigh."""
        return self.best is not None and self.best.grade.group == MATERIAL_GROUP

    @property
    def open_skin(self) -> SkinVerdict | None:
        """The skin that still stands between the readings and the metal; None where there is none."""
        return (
            self.skin
            if self.skin is not None and self.skin.is_suspected and not self.skin.has_arrived
            else None
        )
