"""What a piece uses up of the room that a bay has below its buyers' limits, in money."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content
from console.yard.loads.buyer import Order, PriceStep
from console.yard.loads.refusing import why_refused
from console.yard.yard import Bay, Yard
from grade_library.grade import Limit


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomUse:
    """One bound of a whole bay, and what a kilogram loses where it is crossed."""

    words: str
    """ "Cu", "Cu + 8 Sn"."""
    terms: Mapping[str, float]
    """Symbol -> factor."""
    bound: float
    """[wt %]"""
    is_most: bool
    """True for "at most", False for "at least"."""
    loss_per_kg: float
    """[currency/kg], > 0"""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomCost:
    """What a piece takes of the room in a bay."""

    words: str
    """Of the bound whose room is the dearest to lose."""
    money: float
    """[currency of the yard], > 0"""


def room_uses(bay: Bay, yard: Yard) -> tuple[RoomUse, ...]:
    """Return every bound of a bay that money hangs on.

    The limits of its own buyer: beyond them the metal fetches the downgrade price. Of the orders that take
    its metal and pay in the currency of the yard: premiums, downgrades, and limits where the order pays more
    than the bay's buyer.
    """
    loss = bay.price_per_kg - bay.downgrade_per_kg
    found = [
        one
        for symbol, limit in bay.chemistry.items()
        for one in _of_limit(symbol, {symbol: 1.0}, limit, loss)
    ]
    for buyer in yard.buyers:
        if buyer.currency == yard.currency:
            for order in buyer.orders:
                if not why_refused(bay, order):
                    found += _of_order(order, bay)
    return tuple(one for one in found if one.loss_per_kg > 0.0)


def room_cost(uses: tuple[RoomUse, ...], sums: BaySums, content: Content) -> RoomCost | None:
    """Return what a piece takes of the room of a bay, at its dearest use; None where it takes none.

    A piece beyond a bound by d is carried by metal that keeps it by r: each kilogram of the piece ties up d/r
    kilograms of the bay, and no more than there is. They cost what they would lose if they had to carry
    something else. Expected contents only. A bay that is beyond the bound already has no room to lose.

    Args:
        uses: The bounds of the bay.
        sums: What lies there.
        content: The piece.
    """
    here, own = sums.composition(), sums.means_of(content)
    dearest = None
    for use in uses:
        side = 1.0 if use.is_most else -1.0
        lies = sum(factor * here[symbol].wt_pct for symbol, factor in use.terms.items() if symbol in here)
        adds = sum(factor * own.get(symbol, 0.0) for symbol, factor in use.terms.items())
        beyond, room = side * (adds - use.bound), side * (use.bound - lies)
        if beyond <= 0.0 or room <= 0.0:
            continue
        tied_g = min(content.mass_g * beyond / room, sums.mass_g)
        money = use.loss_per_kg * tied_g / 1000.0
        if dearest is None or money > dearest.money:
            dearest = RoomCost(words=use.words, money=money)
    return dearest


def _of_limit(words: str, terms: Mapping[str, float], limit: Limit, loss: float) -> Iterator[RoomUse]:
    for bound, is_most in ((limit.high, True), (limit.low, False)):
        if bound is not None:
            yield RoomUse(words=words, terms=terms, bound=bound, is_most=is_most, loss_per_kg=loss)


def _of_order(order: Order, bay: Bay) -> Iterator[RoomUse]:
    more = float(order.price_per_kg) - bay.price_per_kg
    for limit in order.limits:
        yield from _of_limit(limit.words, limit.terms, limit.limit, more)
    for step in order.steps:
        if step.terms:
            yield from _of_step(step)


def _of_step(step: PriceStep) -> Iterator[RoomUse]:
    """Yield the bound to stay within: that of a downgrade is not crossed, that of a premium is."""
    is_downgrade = step.per_kg < 0
    for bound, is_above in ((step.above, True), (step.below, False)):
        if bound is not None:
            yield RoomUse(
                words=step.words,
                terms=step.terms,
                bound=bound,
                is_most=is_above == is_downgrade,
                loss_per_kg=abs(float(step.per_kg)),
            )
