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

    @property
    def loss_per_kg(self) -> float:
        """What a refusal by the bay's buyer costs [currency/kg]: selling price less downgrade price."""
        return self.bay.price_per_kg - self.bay.downgrade_per_kg


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """The suggested bay with its reason, and the others in order of worth."""

    bay: Bay
    """The suggested bay; the hold bay when the piece should wait."""
    sureness: Sureness
    reason: str
    """One line: "bay NA: 97 % accepted; not 2xxx"."""
    ranking: tuple[BayWorth, ...]
    """Every bay but hold: by worth those likelier to take the piece than not, then the rest, then vetoed."""
    mass_g: int | None = None
    """Weight of the piece [g]; None while unknown."""
    second: BayWorth | None = None
    """The best other bay that nothing rules out and that takes the piece more likely than not; for a piece
    that should wait, the bay it would go to if it had to. None where there is none."""

    @property
    def best(self) -> BayWorth | None:
        """The suggested bay with its worth; None for a piece that should wait."""
        return next((worth for worth in self.ranking if worth.bay is self.bay), None)

    @property
    def worth(self) -> float | None:
        """Expected worth of the piece in the suggested bay [currency]; None on hold or without a weight."""
        return None if self.best is None else _for_weight(self.best.worth_per_kg, self.mass_g)

    @property
    def cost_of_wrong(self) -> float | None:
        """What it costs if the suggested bay's buyer refuses the piece [currency]; None as `worth`."""
        return None if self.best is None else _for_weight(self.best.loss_per_kg, self.mass_g)


def _for_weight(per_kg: float, mass_g: int | None) -> float | None:
    return None if mass_g is None else per_kg * mass_g / 1000.0
