"""What a buyer refuses outright of a bay's metal, whatever the load as a whole comes to."""

from collections.abc import Iterator

from console.yard.loads.buyer import Order
from console.yard.yard import Bay

MOST_NAMED = 3


def why_refused(bay: Bay, order: Order) -> str:
    """Return why an order does not take the metal of a bay; empty where it does.

    It takes it only if it takes everything that the bay takes and refuses nothing that the bay lets in: what
    a buyer refuses outright is not hidden in a blend.
    """
    more = sorted(bay.taken_ids - order.taken_ids)
    if more:
        named = ", ".join(more[:MOST_NAMED]) + (" and more" if len(more) > MOST_NAMED else "")
        return f"order {order.code} does not take all that may lie in {bay.code}: {named}"
    if said := let_in(bay, order):
        return f"order {order.code} refuses outright what may lie in {bay.code}: {said}"
    return ""


def let_in(bay: Bay, buyer: Order | Bay) -> str:
    """Return what a bay lets in and an order, or the buyer of another bay, refuses; empty for nothing."""
    return ", ".join(_let_in(bay, buyer))


def _let_in(bay: Bay, buyer: Order | Bay) -> Iterator[str]:
    yield from map(str, sorted(buyer.refused_surfaces - bay.refused_surfaces))
    yield from map(str, sorted(buyer.refused_forms - bay.refused_forms))
    yield from map(str, sorted(buyer.refused_coatings - bay.refused_coatings))
    yield from map(str, sorted(buyer.refused_elements - bay.refused_elements))
    if buyer.refuses_attachments and not bay.refuses_attachments:
        yield "attachments"
    for symbol, most in buyer.element_limits.items():
        if bay.element_limits.get(symbol, 100.0) > most:
            yield f"pieces with more than {most:g} % {symbol}"
