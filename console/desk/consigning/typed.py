"""What is typed of a consignment: an order, a loose amount of a bay."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from console.desk.refusals import DeskRefusal, known_bay, mass_typed
from console.ground.cleaning import clean
from console.yard.loads.buyer import Buyer, Order, order_named
from console.yard.loads.criteria import ALL_CRITERIA

if TYPE_CHECKING:
    from console.desk.desk import Desk

EVERYTHING = "all"
NO_BUYERS = "yard.toml names no buyer. Write a [[buyer]] with its [[buyer.order]] there first."
NO_ORDER = 'No order or buyer "{words}" in yard.toml. Orders there: {known}.'
SEVERAL = "{buyer} has several orders: {known}. Name one."
NO_TICK = "Type a criterion, yes or no, and what it rests on: oil yes looked over. Criteria: {known}."
NOTHING_LIES = "By the ledger nothing lies in {bay}, so no loose amount of it can leave."


def order_typed(buyers: Sequence[Buyer], words: str) -> tuple[Buyer, Order]:
    """Return the buyer and order that words name.

    Raises:
        DeskRefusal: There is none, or the buyer has several.
    """
    if not buyers:
        raise DeskRefusal(NO_BUYERS)
    if (found := order_named(buyers, words)) is not None:
        return found
    for buyer in buyers:
        if buyer.code.casefold() == words.strip().casefold():
            known = ", ".join(order.code for order in buyer.orders) or "none"
            raise DeskRefusal(SEVERAL.format(buyer=buyer.name, known=known))
    known = ", ".join(f"{order.code} ({buyer.code})" for buyer in buyers for order in buyer.orders)
    raise DeskRefusal(NO_ORDER.format(words=clean(words, 40).strip(), known=known))


def loose_typed(desk: "Desk", typed: str) -> tuple[str, int]:
    """Return bay and weight [g] of a loose amount: "AXC=400kg", "AXC=all".

    Raises:
        DeskRefusal: No such bay, the hold bay, no weight, or nothing lies there.
    """
    code, _, weight = clean(typed).partition("=")
    bay = known_bay(code.strip(), desk.yard)
    if bay.is_hold:
        raise DeskRefusal("Pieces on hold go one by one: resolve or move them in the review.")
    if weight.strip().casefold() != EVERYTHING:
        return bay.code, mass_typed(weight, desk.yard)
    lying_g = round(desk.bays.book.sums()[bay.code].mass_g)
    if lying_g <= 0:
        raise DeskRefusal(NOTHING_LIES.format(bay=bay.code))
    return bay.code, lying_g


def tick_typed(typed: str) -> tuple[str, bool, str]:
    """Return criterion, whether it is met, and what that rests on, as typed: "oil yes looked over".

    Raises:
        DeskRefusal: No such criterion, or neither yes nor no.
    """
    criterion, _, rest = clean(typed).strip().partition(" ")
    answer, _, words = rest.strip().partition(" ")
    if criterion.casefold() not in ALL_CRITERIA or answer.casefold() not in ("yes", "no"):
        raise DeskRefusal(NO_TICK.format(known=", ".join(ALL_CRITERIA)))
    return criterion.casefold(), answer.casefold() == "yes", words.strip()
