"""What an order refuses outright of a bay's metal, whatever the load as a whole comes to."""

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
    let_in = [
        *sorted(order.refused_surfaces - bay.refused_surfaces),
        *sorted(order.refused_forms - bay.refused_forms),
        *sorted(order.refused_elements - bay.refused_elements),
        *(["attachments"] if order.refuses_attachments and not bay.refuses_attachments else []),
    ]
    if let_in:
        said = ", ".join(map(str, let_in))
        return f"order {order.code} refuses outright what may lie in {bay.code}: {said}"
    return ""
