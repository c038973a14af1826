"""Everything that the papers of a load say, as one record; sealed, it is kept in the ledger as it stands."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from console.ground.cents import cents_of
from console.yard.loads.buyer import DecisionRule
from console.yard.loads.judging import Judged
from grade_library.lots.blending import Blend


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPart:
    """One bale, box or loose amount."""

    name: str
    bay: str
    bay_name: str
    mass_g: int
    pieces: int
    """About how many."""
    is_loose: bool
    base: str
    """Element that it holds most of; empty where nothing is known of it."""
    codes: Mapping[str, str] = field(default_factory=dict)
    """What yard.toml says of its bay for papers: "customs", "waste" ..."""
    despite: str = ""
    """Why it is in the load though the order refuses what may lie in its bay."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTick:
    """What a person says of one criterion."""

    criterion: str
    is_met: bool
    person: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRadiation:
    """A measurement of radiation round the load."""

    instrument: str
    background: str
    """As read, away from the load."""
    highest: str
    """As read, the highest at the load."""
    unit: str
    person: str
    at: str
    """Day and time in the zone of the yard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadSheet:
    """A load with its buyer, weights, composition, limits and money."""

    tag: str
    yard_name: str
    head: tuple[str, ...]
    """Lines below the yard's name: address, permit; as yard.toml has them."""
    unit: str
    begun: str
    """Day and time in the zone of the yard, with the person."""
    buyer: str
    buyer_name: str
    address: str
    order: str
    order_name: str
    accepts: tuple[str, ...]
    decision: DecisionRule
    currency: str
    price_per_kg: str
    """With premiums and downgrades [currency/kg], a decimal; empty where it hangs on what nobody knows."""
    parts: tuple[SheetPart, ...]
    gross_g: int | None = None
    tare_g: int = 0
    foreign_g: int | None = None
    """Foreign material found in a sample [g]; None where nobody weighed."""
    foreign_of_g: int | None = None
    """The sample [g]."""
    foreign_max_wt_pct: float | None = None
    """What the order allows."""
    composition: Mapping[str, Blend] = field(default_factory=dict)
    """[wt %]; empty where a part is not known."""
    unread: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> part of the weight in which nobody read it, 0..1; not named: none, or it is not known."""
    judged: tuple[Judged, ...] = ()
    """The limits of the order."""
    limits_asked: int = 0
    """How many limits the order has: none is judged where a part is not known."""
    ticks: tuple[SheetTick, ...] = ()
    radiation: tuple[SheetRadiation, ...] = ()
    """Every measurement, oldest first."""
    despite: str = ""
    """Why it was sealed though a limit is not met."""

    @property
    def parts_g(self) -> int:
        """Sum of the weights of the parts [g]."""
        return sum(part.mass_g for part in self.parts)

    @property
    def net_g(self) -> int:
        """By the truck scale where it was weighed as a whole, else by the parts [g]."""
        return self.parts_g if self.gross_g is None else self.gross_g - self.tare_g

    @property
    def cents(self) -> int | None:
        """What it is worth by the order, in whole hundredths; None where the price is not known."""
        return cents_of(self.net_g, Decimal(self.price_per_kg)) if self.price_per_kg else None

    @property
    def foreign_wt_pct(self) -> float | None:
        """Foreign material [wt %]; None where nobody weighed it."""
        return None if self.foreign_g is None else 100.0 * self.foreign_g / (self.foreign_of_g or 1)

    @property
    def unknown(self) -> tuple[str, ...]:
        """Parts of which nothing is known."""
        return tuple(part.name for part in self.parts if not part.base)

    @property
    def failures(self) -> tuple[str, ...]:
        """Why it does not pass by its order, a clause each: limit and by how much, and what would help."""
        said = [
            f"{one.words} {one.bound}: {one.content.wt_pct:.2f} ± {one.expanded:.2f} (k = 2) is "
            f"{max(0.01, one.beyond):.2f} too far by {self.decision}"
            + (f"; {'; '.join(one.helps)}" if one.helps else "")
            for one in self.judged
            if not one.is_met
        ]
        if self.limits_asked and self.unknown:
            said.append(f"nothing is known of what {', '.join(self.unknown)} is made of")
        most, found = self.foreign_max_wt_pct, self.foreign_wt_pct
        if most is not None and found is not None and found > most:
            said.append(f"foreign material {found:.2f} %: {found - most:.2f} more than {most:g} %")
        return tuple(said)


def sheet_from(kept: Mapping[str, Any]) -> LoadSheet:
    """Return the sheet that was kept: as JSON, every field of it."""
    nested = {
        "parts": tuple(SheetPart(**one) for one in kept["parts"]),
        "ticks": tuple(SheetTick(**one) for one in kept["ticks"]),
        "radiation": tuple(SheetRadiation(**one) for one in kept.get("radiation", ())),
        "composition": {symbol: Blend(**one) for symbol, one in kept["composition"].items()},
        "judged": tuple(
            Judged(**{**one, "content": Blend(**one["content"]), "helps": tuple(one["helps"])})
            for one in kept["judged"]
        ),
        "decision": DecisionRule(kept["decision"]),
        "head": tuple(kept["head"]),
        "accepts": tuple(kept["accepts"]),
    }
    return LoadSheet(**{**kept, **nested})
