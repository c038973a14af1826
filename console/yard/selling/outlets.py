"""Who takes the metal of a bay: the orders of buyers, and the buyer of each bay, as outlets of a sale."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

from console.yard.loads.buyer import Buyer, DecisionRule, Order, PriceStep
from console.yard.loads.judging import K
from console.yard.loads.refusing import let_in, why_refused
from console.yard.selling.sale import Claim, LoadLimit, Outlet
from console.yard.yard import Bay, Yard
from grade_library.grade import Limit
from grade_library.loading.notation import write_limit

BUYER_OF = "buyer of {bay}"
"""Name of an outlet that is no order: whoever gets the metal of the bay at its own price."""
OVER = "it was taken until {until}"
OTHER_MONEY = "it pays in {theirs}, and the plan reckons in {ours}"
FULL = "it wants {wanted:g} kg, and as much lies in its consignments"
FOR = " for "
"""In the name of a claim, between what must be kept and what that earns."""
STRICTLY = 1e-4
"""A premium is earned above its bound and not at it: by so much more [wt %], as papers show four decimals."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Openings:
    """Who buys on a day."""

    outlets: tuple[Outlet, ...]
    passed_over: Mapping[str, str]
    """Code of an order that takes nothing now -> why."""


def openings(yard: Yard, today: date, promised_g: Mapping[str, int]) -> Openings:
    """Return every order that takes metal now, and the buyers of bays that pay something.

    Args:
        yard: With its buyers.
        today: An order whose last day is before it takes nothing.
        promised_g: Code of an order -> what lies in consignments for it already [g].
    """
    outlets, passed_over = [], {}
    for buyer in yard.buyers:
        for order in buyer.orders:
            if why := _why_not_now(yard, buyer, order, today, promised_g.get(order.code, 0)):
                passed_over[order.code] = why
            else:
                outlets.append(_of_order(buyer, order, promised_g.get(order.code, 0)))
    outlets += [_of_bay(bay) for bay in yard.bays if not bay.is_hold and bay.price_per_kg > 0.0]
    return Openings(outlets=tuple(outlets), passed_over=passed_over)


def refusals(bay: Bay, yard: Yard) -> dict[str, str]:
    """Return which outlets never take the metal of a bay, and why.

    One takes it only if it takes everything that the bay takes and refuses nothing that the bay lets in: what
    a buyer refuses outright is not hidden in a blend.
    """
    found = {}
    for order in (one for buyer in yard.buyers for one in buyer.orders):
        if why := why_refused(bay, order):
            found[order.code] = why.removeprefix(f"order {order.code} ")
    for other in yard.bays:
        if not other.is_hold and (why := _why_refused(bay, other)):
            found[BUYER_OF.format(bay=other.code)] = why
    return found


def _why_not_now(yard: Yard, buyer: Buyer, order: Order, today: date, promised_g: int) -> str:
    if order.until is not None and order.until < today:
        return OVER.format(until=order.until)
    if buyer.currency != yard.currency:
        return OTHER_MONEY.format(theirs=buyer.currency or "no currency", ours=yard.currency or "none")
    if order.wanted_g is not None and promised_g >= order.wanted_g:
        return FULL.format(wanted=order.wanted_g / 1000.0)
    return ""


def _of_order(buyer: Buyer, order: Order, promised_g: int) -> Outlet:
    """Return an order as an outlet.

    The agreed guard band is a confidence of its own, Φ(k): what is planned then passes at the seal. Steps for
    foreign material, and the most of it, hang on a weighing that nobody can plan; they are left out.
    """
    steps = [step for step in order.steps if step.terms and step.per_kg != 0]
    is_guarded = buyer.decision is DecisionRule.GUARD_BAND
    return Outlet(
        name=order.code,
        words=f"{buyer.name}, {order.name}",
        order=order.code,
        price_per_kg=float(order.price_per_kg + sum(step.per_kg for step in steps if step.per_kg < 0)),
        limits=tuple(_limit(one.words, one.terms, one.limit) for one in order.limits),
        claims=tuple(_claim(step) for step in steps),
        most_kg=None if order.wanted_g is None else (order.wanted_g - promised_g) / 1000.0,
        least_confidence=NormalDist().cdf(K) if is_guarded else 0.5,
    )


def _claim(step: PriceStep) -> Claim:
    """Return what a step is worth: its premium where it applies, its downgrade where it does not."""
    is_premium = step.per_kg > 0
    bound = float(step.above if step.above is not None else step.below or 0.0)
    edge = STRICTLY if is_premium else 0.0
    is_least = (step.above is not None) is is_premium
    return Claim(
        limit=LoadLimit(
            name=f"{step.words}{'>' if is_least else '<'}{'' if is_premium else '='}{bound:g}"
            f"{FOR}{abs(step.per_kg):g}/kg",
            weights=step.terms,
            low=bound + edge if is_least else None,
            high=None if is_least else bound - edge,
        ),
        per_kg=float(abs(step.per_kg)),
    )


def _of_bay(bay: Bay) -> Outlet:
    return Outlet(
        name=BUYER_OF.format(bay=bay.code),
        words=bay.name,
        price_per_kg=bay.price_per_kg,
        downgrade_per_kg=bay.downgrade_per_kg,
        limits=tuple(_limit(symbol, {symbol: 1.0}, limit) for symbol, limit in bay.chemistry.items()),
    )


def _limit(words: str, weights: Mapping[str, float], limit: Limit) -> LoadLimit:
    return LoadLimit(name=f"{words}{write_limit(limit)}", weights=weights, low=limit.low, high=limit.high)


def _why_refused(bay: Bay, other: Bay) -> str:
    if bay.code == other.code:
        return ""
    if not (bay.taken_ids <= other.taken_ids and bay.taken_kinds <= other.taken_kinds):
        return "does not take all the metal that lies there"
    if said := let_in(bay, other):
        return f"refuses outright what may lie there: {said}"
    return ""
