"""The best sale with what stands behind it: proof, prices, what was left out and why, what to check."""

import time
from dataclasses import dataclass, replace

from console.yard.selling.program import LEAST_KG
from console.yard.selling.reach import reach
from console.yard.selling.sale import LoadLimit, Outlet, PlanError, Sale, Solved, Source
from console.yard.selling.sampling import ALIKE, LimitKept, limits_kept
from console.yard.selling.search import if_split, is_proved, solve
from grade_library.lots.blending import Blend

SECONDS = 2.0
"""For the best sale [s]; what is not proved by then is told with its gap."""
SEARCH_SHARE = 0.6
"""Of the time, for the sale itself."""
MOST_CHECKS = 3
"""Of so many sources it is reckoned what a check would be worth: those of which least is known for sure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A source of which something is not sold."""

    source: str
    mass_kg: float
    reasons: tuple[tuple[str, str], ...]
    """Outlet and why it does not go there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckWorth:
    """What it would be worth to know a source exactly, if it is what it is taken for."""

    source: str
    money: float
    """[currency]; at most, since a check may also find it worse."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SalePlan:
    """What to sell to whom."""

    sale: Sale
    solved: Solved
    kept: tuple[LimitKept, ...]
    left_out: tuple[LeftOut, ...]
    checks: tuple[CheckWorth, ...]

    @property
    def is_promise_kept(self) -> bool:
        """Whether the draws keep every limit as often as was asked for."""
        return all(one.kept >= one.asked - 1.0 / ALIKE for one in self.kept)


def best_sale(sale: Sale, *, seconds: float = SECONDS) -> SalePlan:
    """Return the sale that brings most, every limit of every load kept at the confidence asked for.

    Args:
        sale: Sources and outlets.
        seconds: For the search, and what checks would be worth [s].

    Raises:
        PlanError: A confidence that cannot be, scipy is not there, nothing to sell, or nothing found in time.
    """
    if not 0.5 <= sale.confidence < 1.0:
        raise PlanError(f"confidence {sale.confidence:g}: needs to be 0.5 to below 1, such as 0.95")
    end = time.monotonic() + seconds
    solved = solve(sale, SEARCH_SHARE * seconds)
    return SalePlan(
        sale=sale,
        solved=solved,
        kept=limits_kept(sale, solved.parts, solved.levels),
        left_out=_left_out(sale, solved),
        checks=_check_worths(sale, solved, end),
    )


def _left_out(sale: Sale, solved: Solved) -> tuple[LeftOut, ...]:
    left = []
    for source in sale.sources:
        sold = sum(part.mass_kg for part in solved.parts if part.source == source.name)
        if source.mass_kg - sold > max(LEAST_KG, 1e-6 * source.mass_kg):
            reasons = tuple(
                (outlet.name, _why_not(source, outlet, solved, outlet.confidence(sale.confidence)))
                for outlet in sale.outlets
            )
            left.append(LeftOut(source=source.name, mass_kg=source.mass_kg - sold, reasons=reasons))
    return tuple(left)


def _why_not(source: Source, outlet: Outlet, solved: Solved, confidence: float) -> str:
    if outlet.name in source.refused_by:
        return source.refused_by[outlet.name]
    most = outlet.pays(source, outlet.levels()[0].price_per_kg)
    if most <= source.kept_per_kg:
        return f"pays {most:.2f}/kg, it is worth {source.kept_per_kg:.2f}/kg where it lies"
    sold = sum(part.mass_kg for part in solved.into(outlet.name))
    room = float("inf") if outlet.most_kg is None else outlet.most_kg - sold
    if room <= LEAST_KG or (source.is_whole and room < source.mass_kg):
        return f"takes {outlet.most_kg:g} kg, {max(0.0, room):.0f} kg are left of it"
    broken = [said for limit in outlet.limits if (said := _broken(source, limit, confidence))]
    if broken:
        return f"{'; '.join(broken)}, and nothing that is left makes up for it"
    if sold <= LEAST_KG and outlet.least_kg > 0.0:
        return f"takes {outlet.least_kg:g} kg at least, and no such load came together"
    return "another sale brings more"


def _broken(source: Source, limit: LoadLimit, confidence: float) -> str:
    """Return how far a source by itself is beyond a limit, with its doubt; empty where it keeps it."""
    found = reach(source, limit.weights, confidence)
    if limit.high is not None and found.high > limit.high:
        return f"{limit.name}: has {found.expected:.2f}, maybe {found.high:.2f}"
    if limit.low is not None and found.low < limit.low:
        return f"{limit.name}: has {found.expected:.2f}, maybe {found.low:.2f}"
    return ""


def _check_worths(sale: Sale, solved: Solved, end: float) -> tuple[CheckWorth, ...]:
    """Return what knowing the least known sources exactly would be worth, the most first.

    Where the sale itself is not proved, two searches differ by luck: then both are reckoned as if bales could
    be split, which is proved at once.
    """
    symbols = {symbol for outlet in sale.outlets for limit in outlet.limits for symbol in limit.weights}

    def unknown(source: Source) -> float:
        return source.mass_kg * sum(source.contents[s].sigma for s in symbols if s in source.contents)

    def left() -> float:
        return max(0.1, end - time.monotonic())

    before = solved.money if is_proved(solved) else if_split(sale, left())
    worths = []
    for source in sorted(sale.sources, key=unknown, reverse=True)[:MOST_CHECKS]:
        if unknown(source) <= 0.0 or time.monotonic() >= end or before is None:
            break
        sure = {s: Blend(wt_pct=one.wt_pct, sigma=0.0) for s, one in source.contents.items()}
        exact = replace(source, contents=sure)
        known = replace(sale, sources=tuple(exact if one is source else one for one in sale.sources))
        try:
            after = solve(known, left()).money if is_proved(solved) else if_split(known, left())
        except PlanError:
            break  # no time was left for it; the plan itself stands
        if after is not None and after - before >= 0.01:
            worths.append(CheckWorth(source=source.name, money=after - before))
    return tuple(sorted(worths, key=lambda one: -one.money))
