"""Money in words, for papers and for the screen; a yard with `show_money = false` keeps it off the screen."""

from console.yard.chemistry.room_cost import RoomCost
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


def room_money(cost: RoomCost | None, placement: Placement, yard: Yard) -> tuple[str, ...]:
    """Return what a piece uses up of its bay's room, and what the second bay pays: "AMX pays 0.30 less".

    Empty where it costs less than the yard wants to hear of, money is hidden, or there is no weight.
    """
    worth, second = placement.worth, placement.second
    if cost is None or worth is None or not yard.show_money or cost.money < yard.thresholds.room_cost:
        return ()
    said = [f"costs {amount(cost.money, yard.currency)} of {cost.words} room"]
    if second is not None and placement.mass_g is not None:
        less = worth - second.worth_per_kg * placement.mass_g / 1000.0
        said.append(f"{second.bay.code} pays {abs(less):.2f} {'less' if less >= 0.0 else 'more'}")
    return tuple(said)
