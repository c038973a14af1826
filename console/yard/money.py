"""Money in words, for papers and for the screen; a yard with `show_money = false` keeps it off the screen."""

from console.yard.placing.placement import Placement
from console.yard.yard import Yard


def amount(money: float, currency: str) -> str:
    """Return money with its currency: "12.40 EUR"; for papers, whatever the screen shows."""
    return f"{money:.2f} {currency}".rstrip()


def amount_shown(money: float, yard: Yard) -> str:
    """Return money as the screen shows it; empty where the yard hides money."""
    return amount(money, yard.currency) if yard.show_money else ""


def price_shown(per_kg: float, yard: Yard) -> str:
    """Return a price as the screen shows it: "5.60 EUR/kg"; empty where the yard hides money."""
    return f"{amount(per_kg, yard.currency)}/kg" if yard.show_money else ""


def placement_money(placement: Placement, yard: Yard) -> tuple[str, ...]:
    """Return what a piece is worth where it should go, the second best, and what a refusal would cost.

    Per kg while the weight is unknown; empty where money is hidden or nothing is known yet.
    """
    if not yard.show_money:
        return ()
    best, second = placement.best, placement.second
    said = []
    if best is not None:
        whole = "" if placement.worth is None else f"{amount(placement.worth, yard.currency)}, "
        said.append(f"worth {whole}{best.worth_per_kg:.2f}/kg")
    if second is not None:
        named = "else" if best is not None else "if it had to go"
        said.append(f"{named} {second.bay.code} {second.worth_per_kg:.2f}/kg")
    if best is not None:
        cost = placement.cost_of_wrong
        wrong = f"{best.loss_per_kg:.2f}/kg" if cost is None else amount(cost, yard.currency)
        said.append(f"a refusal costs {wrong}")
    return tuple(said)
