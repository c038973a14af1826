"""The best sale as text and as JSON: loads, proof, prices of limits, what stays and why, what to check."""

import re
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from console.ground.cleaning import clean
from console.ground.figures import percent, with_sigma
from console.ground.mass import format_mass
from console.reports.columns import folded, left, right
from console.yard.money import amount
from console.yard.selling.outlets import FOR
from console.yard.selling.plan import LeftOut, SalePlan
from console.yard.selling.sale import Level, Outlet, ShadowPrice
from console.yard.selling.sampling import LimitKept

NOTHING_SOLD = "Nothing can be sold within the limits."
CAUTION = (
    "A plan by estimates of the ledger, not an analysis, and without foreign material, which is weighed at "
    "the load; the buyer's own finding settles."
)
BINDING = "Limits that hold the sale back:"
CHECK_FIRST = "Worth knowing exactly, the most first:"
PAYS, PAYS_LESS = re.compile(r"^pays .*"), "pays no more than it is worth where it lies"
WHOLE_PRICE = "What a little more room would be worth, bales and buyers as planned:"
WORTH_A_CHECK = "What knowing one exactly is worth at most, if it is what it is taken for:"


def plan_text(
    plan: SalePlan, currency: str, unit: str, width: int = 80, *, shows_money: bool = True
) -> Iterator[str]:
    """Yield a plan as lines.

    Args:
        plan: The sale.
        currency: Of every price.
        unit: Weight unit of the yard.
        width: Columns, at least 60.
        shows_money: False leaves every amount and price out; what is worth most still stands first.
    """
    solved, money = plan.solved, partial(amount, currency=currency)
    brings = f": {money(solved.money)}" if shows_money else ""
    yield f"BEST SALE{brings}, each limit kept at {percent(plan.sale.confidence)}"
    yield from folded(_proof(plan, money, shows_money=shows_money), width)
    served = [outlet for outlet in plan.sale.outlets if solved.into(outlet.name)]
    if not served:
        yield NOTHING_SOLD
    for outlet in served:
        yield ""
        yield from _load(plan, outlet, currency, unit, shows_money=shows_money)
    yield from _room_and_checks(plan, money, shows_money=shows_money)
    for left_out in plan.left_out:
        yield ""
        yield from _left_out(left_out, unit, width, shows_money=shows_money)
    if plan.sale.passed_over:
        yield ""
    for order, why in plan.sale.passed_over.items():
        yield from folded(clean(f"NOT PLANNED {order}: {why}"), width, indent="  ")
    yield ""
    yield from folded(CAUTION, width)


def _room_and_checks(plan: SalePlan, money: Callable[[float], str], *, shows_money: bool) -> Iterator[str]:
    """Yield what more room in a limit, and what knowing a source, would be worth."""
    if plan.solved.shadow_prices:
        yield ""
        yield WHOLE_PRICE if shows_money else BINDING
    for price in plan.solved.shadow_prices:
        what = f"{clean(price.outlet)}, {price.limit}"
        yield (
            f"  0.01 % at {what}: {money(price.per_hundredth)}"
            if shows_money
            else f"  {what.partition(FOR)[0]}"
        )
    if plan.checks:
        yield ""
        yield WORTH_A_CHECK if shows_money else CHECK_FIRST
    for one in plan.checks:
        yield f"  {one.source}{f': {money(one.money)}' if shows_money else ''}"


def _proof(plan: SalePlan, money: Callable[[float], str], *, shows_money: bool) -> str:
    """Return how good the plan is proved to be."""
    solved = plan.solved
    share = f"{100.0 * solved.gap / solved.money:.1f} %" if solved.money > 0.0 else "nobody knows how much"
    gap = f"{money(solved.gap)} ({share})" if shows_money else share
    proof = (
        "It is proved that no other brings more"
        if solved.gap < 0.01
        else f"Another brings {gap} more at most"
    )
    return f"What stays counts at what it fetches when refused. {proof}." if shows_money else f"{proof}."


def _load(plan: SalePlan, outlet: Outlet, currency: str, unit: str, *, shows_money: bool) -> Iterator[str]:
    """Yield one load: its parts, then its limits."""
    parts, level = plan.solved.into(outlet.name), plan.solved.levels[outlet.name]
    weight = _weight(sum(part.mass_kg for part in parts), unit)
    price = f" at {level.price_per_kg:.2f} {currency}/kg" if shows_money else ""
    yield f"TO {clean(outlet.name)}: {weight}{price}"
    if outlet.words:
        yield f"  {clean(outlet.words)}"
    by_name = {source.name: source for source in plan.sale.sources}
    for part in parts:
        source = by_name[part.source]
        whole = "whole" if source.is_whole else f"of {_weight(source.mass_kg, unit)}"
        line = f"  {left(part.source, 18)}{right(_weight(part.mass_kg, unit), 14)}  {left(whole, 18)}"
        brings = amount(part.mass_kg * outlet.pays(source, level.price_per_kg), currency)
        yield (line + right(brings, 16)) if shows_money else line.rstrip()
    for kept in plan.kept:
        if kept.outlet == outlet.name:
            content = with_sigma(kept.expected, kept.sigma)
            asked = f", {percent(kept.asked)} asked" if kept.asked != plan.sale.confidence else ""
            name = kept.limit if shows_money else kept.limit.partition(FOR)[0]
            yield f"  {left(name, 22)}{right(content, 14)}  {percent(kept.kept)} likely kept{asked}"


def _left_out(one: LeftOut, unit: str, width: int, *, shows_money: bool) -> Iterator[str]:
    """Yield what stays of a source, and why; buyers with the same reason together."""
    yield f"STAYS {one.source}: {_weight(one.mass_kg, unit)}"
    by_reason: dict[str, list[str]] = {}
    for outlet, why in one.reasons:
        by_reason.setdefault(why if shows_money else PAYS.sub(PAYS_LESS, why), []).append(outlet)
    for why, outlets in by_reason.items():
        named = (
            ", ".join(outlets)
            if len(outlets) <= 4
            else f"{', '.join(outlets[:3])} and {len(outlets) - 3} more"
        )
        yield from folded(clean(f"{named}: {why}"), width, first="  ", indent="    ")


def _weight(kg: float, unit: str) -> str:
    return format_mass(round(1000 * kg), unit)


def plan_json(plan: SalePlan) -> dict[str, Any]:
    """Return a plan as a JSON-ready object."""
    solved = plan.solved
    parts = [
        {"source": one.source, "outlet": one.outlet, "kg": round(one.mass_kg, 3)} for one in solved.parts
    ]
    return {
        "money": round(solved.money, 2),
        "bound": round(solved.bound, 2),
        "confidence": plan.sale.confidence,
        "orders": [_level_json(name, level) for name, level in solved.levels.items()],
        "promise_kept": plan.is_promise_kept,
        "parts": parts,
        "limits": [_kept_json(one) for one in plan.kept],
        "shadow_prices": [_price_json(one) for one in solved.shadow_prices],
        "left_out": [
            {"source": one.source, "kg": round(one.mass_kg, 3), "why": dict(one.reasons)}
            for one in plan.left_out
        ],
        "passed_over": dict(plan.sale.passed_over),
        "worth_of_a_check": [{"source": one.source, "money": round(one.money, 2)} for one in plan.checks],
    }


def _level_json(outlet: str, level: Level) -> dict[str, Any]:
    claims = [limit.name for limit in level.claimed]
    return {"outlet": outlet, "price_per_kg": round(level.price_per_kg, 4), "claims": claims}


def _kept_json(one: LimitKept) -> dict[str, Any]:
    return {
        "outlet": one.outlet,
        "limit": one.limit,
        "wt_pct": round(one.expected, 4),
        "sigma": round(one.sigma, 4),
        "asked": round(one.asked, 4),
        "kept": round(one.kept, 4),
    }


def _price_json(one: ShadowPrice) -> dict[str, Any]:
    return {
        "outlet": one.outlet,
        "limit": one.limit,
        "side": one.side,
        "per_0.01_wt_pct": round(one.per_hundredth, 2),
    }
