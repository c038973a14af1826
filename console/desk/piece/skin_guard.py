"""Keeps a piece that was read through a skin out of the dearer bays until somebody says so deliberately."""

from statistics import median

from console.desk.piece.considering import Consideration
from console.yard.yard import Bay, Yard

MOSTLY_SKIN = 0.5
"""From this share of the skin in the last shot on, the core is worked out more than read."""


def dear_from(yard: Yard) -> float:
    """Return the price above which a bay counts as dear [currency/kg]: the median of the yard's bays.

    Where no price is written yet every bay counts.
    """
    prices = [bay.price_per_kg for bay in yard.bays if not bay.is_hold]
    return median(prices) if any(prices) else -1.0


def why_guarded(considered: Consideration, bay: Bay, yard: Yard) -> str:
    """Return why a piece may not go into a bay on what was read of its skin; empty when it may.

    It may where the core was seen and is certain enough that the bay's buyer takes it whatever it is, and no
    rule of the bay speaks against what lies on it: only a skin that could change the bay keeps it shut.

    Args:
        considered: The piece.
        bay: Where it would go.
        yard: The other bays, for what counts as dear.
    """
    skin = considered.verdict.open_skin
    if skin is None or bay.is_hold or bay.price_per_kg <= dear_from(yard):
        return ""
    ranking = considered.placement.ranking if considered.placement else ()
    worth = next((worth for worth in ranking if worth.bay is bay), None)
    is_seen = skin.shares[-1] < MOSTLY_SKIN
    if worth is not None and is_seen and not worth.veto and worth.accepted >= yard.thresholds.settled:
        return ""
    advice = skin.advice.rstrip(".") or "Grind a spot and shoot again"
    return f"{bay.code} is one of the dearer bays, and this reading is of a skin. {advice}."
