"""The best sale as text and as JSON: loads, proof, prices of limits, what stays and why, what to check."""

from collections.abc import Iterator
from typing import Any

from console.ground.cleaning import clean
from console.ground.figures import percent, with_sigma
from console.ground.mass import format_mass
from console.reports.columns import folded, left, right
from console.yard.money import amount
from console.yard.selling.plan import LeftOut, SalePlan
from console.yard.selling.sale import Outlet

NOTHING_SOLD = "Nothing can be sold within the limits."
CAUTION = (
    "A plan by estimates of the ledger, not an analysis; what leaves is weighed, and the buyer's own finding "
    "settles."
)
WHOLE_PRICE = "What a little more room would be worth, bales and buyers as planned:"
WORTH_A_CHECK = "What knowing one exactly is worth at most, if it is what it is taken for:"


def plan_text(plan: SalePlan, currency: str, unit: str, width: int = 80) -> Iterator[str]:
    """Yield a plan as lines.

    Args:
        plan: The sale.
        currency: Of every price.
        unit: Weight unit of the yard.
        width: Columns, at least 60.
    """
    solved = plan.solved
    yield f"BEST SALE: {amount(solved.money, currency)}, each limit kept at {percent(plan.sale.confidence)}"
    more = f"Another brings {amount(solved.gap, currency)} more at most"
    proof = "It is proved that no other brings more" if solved.gap < 0.01 else more
    yield from folded(f"What stays counts at what it fetches when refused. {proof}.", width)
    served = [outlet for outlet in plan.sale.outlets if solved.into(outlet.name)]
    if not served:
        yield NOTHING_SOLD
    for outlet in served:
        yield ""
        yield from _load(plan, outlet, currency, unit)
    if solved.shadow_prices:
        yield ""
        yield WHOLE_PRICE
        for price in solved.shadow_prices:
            yield f"  0.01 % at {clean(price.outlet)}, {price.limit}: {amount(price.per_hundredth, currency)}"
    if plan.checks:
        yield ""
        yield WORTH_A_CHECK
        yield from (f"  {one.source}: {amount(one.money, currency)}" for one in plan.checks)
    for one in plan.left_out:
        yield ""
        yield from _left_out(one, unit, width)
    yield ""
    yield from folded(CAUTION, width)


def _load(plan: SalePlan, outlet: Outlet, currency: str, unit: str) -> Iterator[str]:
    """Yield one load: its parts, then its limits."""
    parts = plan.solved.into(outlet.name)
    mass_kg = sum(part.mass_kg for part in parts)
    yield f"TO {clean(outlet.name)}: {_weight(mass_kg, unit)} at {outlet.price_per_kg:.2f} {currency}/kg"
    by_name = {source.name: source for source in plan.sale.sources}
    for part in parts:
        source = by_name[part.source]
        whole = "whole" if source.is_whole else f"of {_weight(source.mass_kg, unit)}"
        money = amount(part.mass_kg * outlet.pays(source), currency)
        weight = _weight(part.mass_kg, unit)
        yield f"  {left(part.source, 18)}{right(weight, 14)}  {left(whole, 18)}{right(money, 16)}"
    for kept in plan.kept:
        if kept.outlet == outlet.name:
            content = with_sigma(kept.expected, kept.sigma)
            yield f"  {left(kept.limit, 18)}{right(content, 14)}  kept in {percent(kept.kept)} of the draws"


def _left_out(one: LeftOut, unit: str, width: int) -> Iterator[str]:
    """Yield what stays of a source, and why; buyers with the same reason together."""
    yield f"STAYS {one.source}: {_weight(one.mass_kg, unit)}"
    by_reason: dict[str, list[str]] = {}
    for outlet, why in one.reasons:
        by_reason.setdefault(why, []).append(outlet)
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
    return {
        "money": round(solved.money, 2),
        "bound": round(solved.bound, 2),
        "confidence": plan.sale.confidence,
        "promise_kept": plan.is_promise_kept,
        "parts": [
            {"source": part.source, "outlet": part.outlet, "kg": round(part.mass_kg, 3)}
            for part in solved.parts
        ],
        "limits": [
            {
                "outlet": one.outlet,
                "limit": one.limit,
                "wt_pct": round(one.expected, 4),
                "sigma": round(one.sigma, 4),
                "kept": round(one.kept, 4),
            }
            for one in plan.kept
        ],
        "shadow_prices": [
            {
                "outlet": one.outlet,
                "limit": one.limit,
                "side": one.side,
                "per_0.01_wt_pct": round(one.per_hundredth, 2),
            }
            for one in solved.shadow_prices
        ],
        "left_out": [
            {"source": one.source, "kg": round(one.mass_kg, 3), "why": dict(one.reasons)}
            for one in plan.left_out
        ],
        "worth_of_a_check": [{"source": one.source, "money": round(one.money, 2)} for one in plan.checks],
    }
