"""Who buys: buyers and their orders, as yard.toml describes them by [[buyer]] and [[buyer.order]]."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum

from grade_library.facts import Form, Surface
from grade_library.grade import Limit
from grade_library.lots.blending import Blend


class DecisionRule(StrEnum):
    """How a load is judged against a limit when its composition is uncertain.

    Terms of JCGM 106:2012; its clause numbers are from memory.
    """

    SHARED_RISK = "shared risk"
    """Simple acceptance (8.2): the estimate itself is held against the limit."""
    GUARD_BAND = "guard band"
    """Guarded acceptance (8.3.2): the estimate must keep the limit by the expanded uncertainty U, k = 2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLimit:
    """What an order asks of an element, or of a sum of elements, in a whole load."""

    words: str
    """As written: "Cu", "Cu + 8 Sn"."""
    terms: Mapping[str, float]
    """Symbol -> factor."""
    limit: Limit
    """[wt %]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceStep:
    """A premium or a downgrade: what the price changes by where a load holds more, or less, than said."""

    words: str
    terms: Mapping[str, float]
    """Symbol -> factor; empty for foreign material."""
    above: float | None = None
    """[wt %]"""
    below: float | None = None
    """[wt %]"""
    per_kg: Decimal
    """Added to the price [currency/kg]; negative for a downgrade."""

    def applies(self, wt_pct: float) -> bool:
        """Tell whether the price changes for this content [wt %]; the bound itself changes nothing."""
        return (self.above is not None and wt_pct > self.above) or (
            self.below is not None and wt_pct < self.below
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What a buyer wants: metal, limits of a load, weight, price, until when."""

    code: str
    """Short name, unique in the yard: "RFA1"."""
    name: str
    accepts: tuple[str, ...]
    """Groups, families, series, grades or scrap entries, as written in yard.toml."""
    taken_ids: frozenset[str]
    """The grades and materials that this comes to, less the refused."""
    price_per_kg: Decimal
    """[currency of the buyer/kg]"""
    steps: tuple[PriceStep, ...] = ()
    """Premiums and downgrades; all that apply add up."""
    limits: tuple[LoadLimit, ...] = ()
    foreign_max_wt_pct: float | None = None
    """Most foreign material in a load [wt %]; None where nothing is said."""
    wanted_g: int | None = None
    """[g]; None for any weight."""
    until: date | None = None
    """Last day on which it is taken; None without an end."""
    element_limits: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> most that one piece may hold [wt %]."""
    refused_surfaces: frozenset[Surface] = frozenset()
    refused_coatings: frozenset[str] = frozenset()
    """Names of coatings that are refused, seen or suspected under a reading."""
    refused_forms: frozenset[Form] = frozenset()
    refuses_attachments: bool = False
    refused_elements: frozenset[str] = frozenset()

    def price_for(self, composition: Mapping[str, Blend], foreign_wt_pct: float | None = None) -> Decimal:
        """Return the price per kg of a load of this composition, premiums and downgrades in it.

        Args:
            composition: Symbol -> content [wt %].
            foreign_wt_pct: Foreign material [wt %]; None where nobody weighed it: its steps are passed over.
        """
        price = self.price_per_kg
        for step in self.steps:
            content = (
                sum(f * composition[s].wt_pct for s, f in step.terms.items() if s in composition)
                if step.terms
                else foreign_wt_pct
            )
            if content is not None and step.applies(content):
                price += step.per_kg
        return price


@dataclass(frozen=True, slots=True, kw_only=True)
class Buyer:
    """A buyer with the orders that are open."""

    code: str
    """Short name, unique among the buyers."""
    name: str
    currency: str
    decision: DecisionRule
    """How a load is judged by agreement with this buyer."""
    orders: tuple[Order, ...] = field(default=())
    address: str = ""
    """Printed on papers."""

    def order(self, code: str) -> Order | None:
        """Return the order with a code, case-blind; None where there is none."""
        return next((one for one in self.orders if one.code.casefold() == code.casefold()), None)


def order_named(buyers: Iterable[Buyer], words: str) -> tuple[Buyer, Order] | None:
    """Return the buyer and order that words name: the code of an order, or of a buyer who has but one.

    None where there is none, or a buyer has several.
    """
    asked = words.strip().casefold()
    for buyer in buyers:
        if (order := buyer.order(asked)) is not None:
            return buyer, order
        if buyer.code.casefold() == asked and len(buyer.orders) == 1:
            return buyer, buyer.orders[0]
    return None
