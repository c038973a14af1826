"""What is for sale, who takes it, and what a sale must keep to."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import product

from console.ground.errors import BaywrightError
from grade_library.lots.blending import Blend

NOTHING = Blend(wt_pct=0.0, sigma=0.0)
MOST_CLAIMS = 6
"""With so many steps an order has 64 prices at most, each tried as an order of its own (own choice)."""
TOO_MANY_CLAIMS = (
    "{name} has {count} steps of its price; a plan tries {most} at most. Leave out those that matter least."
)


class PlanError(BaywrightError, ValueError):
    """A sale cannot be planned; the message says why, and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A bale, a box, or the loose metal of a bay."""

    name: str
    """Tag of a bale, code of a bay; no two have the same."""
    mass_kg: float
    """[kg], > 0"""
    contents: Mapping[str, Blend]
    """Symbol -> content of the whole [wt %]; what is not named is 0 and sure."""
    is_whole: bool = False
    """True is sold whole or not at all."""
    kept_per_kg: float = 0.0
    """What it is worth where it is not sold now [currency/kg]."""
    refused_share: float = 0.0
    """Expected part of its weight that a buyer turns away piece by piece, 0..1."""
    refused_by: Mapping[str, str] = field(default_factory=dict)
    """Name of an outlet that never takes it -> why; no blending hides that."""

    def content(self, weights: Mapping[str, float]) -> Blend:
        """Return a weighted sum of contents, as unsure as if all of them erred together."""
        of = [(weight, self.contents.get(symbol, NOTHING)) for symbol, weight in weights.items()]
        return Blend(
            wt_pct=sum(weight * one.wt_pct for weight, one in of),
            sigma=sum(abs(weight) * one.sigma for weight, one in of),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLimit:
    """What the whole load must keep to: one element, or a weighted sum of several."""

    name: str
    """As the buyer writes it: "Cu<=0.3", "Cu + 8 Sn<=1"."""
    weights: Mapping[str, float]
    """Symbol -> its weight in the sum."""
    low: float | None = None
    """[wt %]; None for no lower limit."""
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A premium that a load earns, or a downgrade that it escapes, where it keeps one limit more."""

    limit: LoadLimit
    per_kg: float
    """[currency/kg], > 0."""

    def implies(self, other: "Claim") -> bool:
        """Whether whatever keeps this limit keeps the other one too."""
        one, two = self.limit, other.limit
        return (
            one.weights == two.weights
            and (two.high is None or (one.high is not None and one.high <= two.high))
            and (two.low is None or (one.low is not None and one.low >= two.low))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One price of an outlet, and what a load must keep to for it, beside the limits of the outlet."""

    price_per_kg: float
    claimed: tuple[LoadLimit, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet:
    """A buyer's order, or the buyer of a bay."""

    name: str
    price_per_kg: float
    """Without any claim: every downgrade taken off, no premium added [currency/kg]."""
    words: str = ""
    """Who and what it is, behind the name."""
    order: str = ""
    """Code of the order; empty for the buyer of a bay."""
    downgrade_per_kg: float | None = None
    """What a piece still fetches that is turned away [currency/kg]; None for what it is worth in its bay."""
    limits: tuple[LoadLimit, ...] = ()
    claims: tuple[Claim, ...] = ()
    most_kg: float | None = None
    """Most that is taken [kg]; None for all there is."""
    least_kg: float = 0.0
    """Least that is taken, unless nothing is [kg]."""
    least_confidence: float = 0.5
    """By agreement with the buyer; what is asked for may be more."""

    def confidence(self, asked: float) -> float:
        """Return the confidence at which its limits are kept, one-sided."""
        return max(asked, self.least_confidence)

    def levels(self) -> tuple[Level, ...]:
        """Return every price that a load can have, with what it must keep to for it, the highest first.

        What follows from a claim by itself is claimed with it: to leave it out earns less and frees nothing.

        Raises:
            PlanError: There are more claims than can be tried.
        """
        if len(self.claims) > MOST_CLAIMS:
            raise PlanError(TOO_MANY_CLAIMS.format(name=self.name, most=MOST_CLAIMS, count=len(self.claims)))
        found = []
        for chosen in product((True, False), repeat=len(self.claims)):
            made = [claim for claim, is_made in zip(self.claims, chosen, strict=True) if is_made]
            left = [claim for claim, is_made in zip(self.claims, chosen, strict=True) if not is_made]
            if not any(one.implies(other) for one in made for other in left):
                price = self.price_per_kg + sum(claim.per_kg for claim in made)
                found.append(Level(price_per_kg=price, claimed=tuple(claim.limit for claim in made)))
        return tuple(sorted(found, key=lambda level: -level.price_per_kg))

    def pays(self, source: Source, per_kg: float) -> float:
        """Return what a kilogram of a source brings here at a price [currency/kg]."""
        turned_away = source.refused_share
        fetches = source.kept_per_kg if self.downgrade_per_kg is None else self.downgrade_per_kg
        return (1.0 - turned_away) * per_kg + turned_away * fetches


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """Everything that a plan is made of."""

    sources: tuple[Source, ...]
    outlets: tuple[Outlet, ...]
    confidence: float = 0.95
    """One-sided, of each limit of each load, 0.5 to below 1."""
    passed_over: Mapping[str, str] = field(default_factory=dict)
    """Name of an order that cannot be planned -> why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What goes from one source to one outlet."""

    source: str
    outlet: str
    mass_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ShadowPrice:
    """What a little more room in a limit would be worth."""

    outlet: str
    limit: str
    side: str
    """ "at most" or "at least"."""
    per_hundredth: float
    """[currency] for 0.01 wt % more room, while which bales go whole stays as planned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The best sale found, and how good it is proved to be."""

    parts: tuple[Part, ...]
    money: float
    """What the parts bring and the rest is worth where it lies [currency]."""
    bound: float
    """No sale within the limits brings more [currency]."""
    levels: Mapping[str, Level] = field(default_factory=dict)
    """Name of an outlet that gets something -> the price at which it does."""
    shadow_prices: tuple[ShadowPrice, ...] = ()

    @property
    def gap(self) -> float:
        """How much better another sale could be at most [currency]."""
        return max(0.0, self.bound - self.money)

    def into(self, outlet: str) -> tuple[Part, ...]:
        """Return what goes to one outlet."""
        return tuple(part for part in self.parts if part.outlet == outlet)
