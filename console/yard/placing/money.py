"""What pieces and bays are worth in money, in words; empty where the yard keeps money off the screen."""

from collections.abc import Iterable
from dataclasses import dataclass

from console.yard.placing.placement import Placement
from console.yard.yard import Yard


@dataclass(frozen=True, slots=True, kw_only=True)
class BayMoney:
    """What lies in one bay, by its selling price."""

    bay_code: str
    mass_g: int
    worth: float
    """At the selling price [currency]; 0 for the hold bay and for a bay that yard.toml no longer lists."""
    cost: float | None
    """At the buying price [currency]; None where yard.toml gives none."""
    at_stake: float
    """What a refusal of all of it would cost [currency]: selling less downgrade price."""


def bays_money(masses_g: Iterable[tuple[str, int]], yard: Yard) -> tuple[BayMoney, ...]:
    """Return the money in each bay, for the totals of a run or for the stock.

    Args:
        masses_g: Bay code and mass [g], such as those of a tally.
        yard: Prices.
    """
    known = {bay.code: bay for bay in yard.bays}
    found = []
    for code, mass_g in masses_g:
        bay, kg = known.get(code), mass_g / 1000.0
        price = bay.price_per_kg if bay else 0.0
        buying = bay.buying_per_kg if bay else None
        found.append(
            BayMoney(
                bay_code=code,
                mass_g=mass_g,
                worth=kg * price,
                cost=None if buying is None else kg * buying,
                at_stake=kg * (price - bay.downgrade_per_kg) if bay else 0.0,
            )
        )
    return tuple(found)


def run_money_line(masses_g: Iterable[tuple[str, int]], yard: Yard) -> str:
    """Return the worth of a run in one line; empty where money is hidden."""
    if not yard.show_money:
        return ""
    money = bays_money(masses_g, yard)
    said = [f"worth {amount(sum(one.worth for one in money), yard)} at the bays' prices"]
    costs = [one.cost for one in money if one.cost is not None]
    if costs:
        said.append(f"bought for {amount(sum(costs), yard)}")
    return "; ".join(said)


def piece_money_line(placement: Placement, yard: Yard) -> str:
    """Return what a piece is worth where it should go, the second best, and what a refusal would cost.

    Per kg while the weight is unknown; empty where money is hidden or nothing is known yet.
    """
    if not yard.show_money:
        return ""
    best, second = placement.best, placement.second
    said = []
    if best is not None:
        whole = "" if placement.worth is None else f"{amount(placement.worth, yard)}, "
        said.append(f"worth {whole}{best.worth_per_kg:.2f}/kg")
    if second is not None:
        named = "else" if best is not None else "if it had to go"
        said.append(f"{named} {second.bay.code} {second.worth_per_kg:.2f}/kg")
    if best is not None:
        cost = placement.cost_of_wrong
        wrong = f"{best.loss_per_kg:.2f}/kg" if cost is None else amount(cost, yard)
        said.append(f"a refusal costs {wrong}")
    return "; ".join(said)


def amount(money: float, yard: Yard) -> str:
    """Return money with the yard's currency: "12.40 EUR"."""
    return f"{money:.2f} {yard.currency}".rstrip()
