"""Keeps a piece that was read through a skin out of the dearer bays until somebody says so deliberately."""

from statistics import median

from console.desk.piece.considering import Consideration
from console.yard.yard import Bay, Yard


def dear_from(yard: Yard) -> float:
    """Return the price above which a bay counts as dear [currency/kg]: the median of the yard's bays."""
    prices = [bay.price_per_kg for bay in yard.bays if not bay.is_hold]
    return median(prices) if prices else 0.0


def why_guarded(considered: Consideration, bay: Bay, yard: Yard) -> str:
    """Return why a piece may not go into a bay on what was read of its skin; empty when it may.

    Args:
        considered: The piece.
        bay: Where it would go.
        yard: The other bays, for what counts as dear.
    """
    skin = considered.verdict.open_skin
    if skin is None or bay.is_hold or bay.price_per_kg <= dear_from(yard):
        return ""
    advice = skin.advice.rstrip(".") or "Grind a spot and shoot again"
    return f"{bay.code} is one of the dearer bays, and this reading is of a skin. {advice}."
