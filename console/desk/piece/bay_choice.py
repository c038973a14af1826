"""The bays that a piece can be put into, the best first."""

from console.yard.placing.placement import BayWorth, Placement
from console.yard.yard import Bay, Yard


def best_first(yard: Yard, placement: Placement | None) -> list[tuple[Bay, BayWorth | None]]:
    """Return every bay but the hold, the likeliest to take the piece first, of equal ones that of most worth.

    Bays that something keeps the piece out of come last. Where nothing is known of the piece, which is not
    the same as that no bay takes it, they stand as in yard.toml.
    """
    ranking = placement.ranking if placement else ()
    is_known = any(worth.accepted or worth.veto for worth in ranking)
    worths = {worth.bay.code: worth for worth in ranking} if is_known else {}
    bays = [(bay, worths.get(bay.code)) for bay in yard.bays if not bay.is_hold]
    return sorted(bays, key=lambda one: _order(one[1]))


def _order(worth: BayWorth | None) -> tuple[bool, int, float]:
    """Return what bays are ordered by: none of it known, and they stay as they are."""
    if worth is None:
        return False, 0, 0.0
    return bool(worth.veto), -int(100.0 * worth.accepted), -worth.worth_per_kg
