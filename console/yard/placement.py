"""Where a piece should go, and why."""

from dataclasses import dataclass
from enum import StrEnum

from console.yard.yard import Bay


class Sureness(StrEnum):
    """How sure the placement is."""

    SETTLED = "settled"
    LEANING = "leaning"
    OPEN = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class BayWorth:
    """One bay as a place for the piece."""

    bay: Bay
    worth_per_kg: float
    """Expected worth [currency/kg] by the probabilities."""
    accepted: float
    """Probability that the bay's buyer takes it, 0..1."""
    veto: str = ""
    """What rules the bay out: "paint refused", "Cu up to 0.4: reading 1.2"; empty when nothing does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """The suggested bay with its reason, and the others in order of worth."""

    bay: Bay
    """The suggested bay; the hold bay when the piece should wait."""
    sureness: Sureness
    reason: str
    """One line: "bay NA: 97 % accepted; 2xxx ruled out by Cu below 0.1"."""
    ranking: tuple[BayWorth, ...]
    """Every bay but hold, vetoed ones last, by worth."""
