"""Who takes the metal of a bay: the yard's bays with their buyers, as outlets of a sale."""

from console.yard.selling.sale import LoadLimit, Outlet
from console.yard.yard import Bay, Yard
from grade_library.loading.notation import write_limit


def outlets_of(yard: Yard) -> tuple[Outlet, ...]:
    """Return the buyers of the yard's bays that pay something."""
    return tuple(_of_bay(bay) for bay in yard.bays if not bay.is_hold and bay.price_per_kg > 0.0)


def refusals(bay: Bay, yard: Yard) -> dict[str, str]:
    """Return which outlets never take the metal of a bay, and why.

    One takes it only if it takes everything that the bay takes and refuses nothing that the bay lets in: what
    a buyer refuses outright is not hidden in a blend.
    """
    found = {}
    for other in yard.bays:
        if not other.is_hold and (why := _why_refused(bay, other)):
            found[other.code] = why
    return found


def _of_bay(bay: Bay) -> Outlet:
    limits = tuple(
        LoadLimit(name=f"{symbol}{write_limit(limit)}", weights={symbol: 1.0}, low=limit.low, high=limit.high)
        for symbol, limit in bay.chemistry.items()
    )
    return Outlet(
        name=bay.code,
        price_per_kg=bay.price_per_kg,
        downgrade_per_kg=bay.downgrade_per_kg,
        limits=limits,
    )


def _why_refused(bay: Bay, other: Bay) -> str:
    if bay.code == other.code:
        return ""
    if not (bay.taken_ids <= other.taken_ids and bay.taken_kinds <= other.taken_kinds):
        return "does not take all the metal that lies there"
    let_in = [
        *sorted(other.refused_surfaces - bay.refused_surfaces),
        *sorted(other.refused_forms - bay.refused_forms),
        *sorted(other.refused_coatings - bay.refused_coatings),
        *sorted(other.refused_elements - bay.refused_elements),
        *(["attachments"] if other.refuses_attachments and not bay.refuses_attachments else []),
    ]
    if let_in:
        return f"refuses outright what may lie there: {', '.join(map(str, let_in))}"
    for symbol, most in other.element_limits.items():
        if bay.element_limits.get(symbol, 100.0) > most:
            return f"takes no piece with more than {most:g} % {symbol}"
    return ""
