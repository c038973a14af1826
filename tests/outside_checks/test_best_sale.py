"""The best sale against published blending examples, brute force, and a general library."""

import functools
import itertools
import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import gamma, norm

from console.yard.selling.plan import best_sale
from console.yard.selling.program import PROVED_WITHIN
from console.yard.selling.sale import Claim, LoadLimit, Outlet, PlanError, Sale, Source
from console.yard.selling.sampling import limits_kept
from console.yard.selling.search import if_split, solve
from grade_library.lots.blending import Blend

METALCO = {
    1: (60, 10, 30, 22),
    2: (25, 15, 60, 20),
    3: (45, 45, 10, 25),
    4: (20, 50, 30, 24),
    5: (50, 40, 10, 27),
}
"""Alloy -> tin, zinc, lead [%], cost [$/lb]."""
FEED = {
    "chicken": (10.0, 8.0, 0.1, 0.2, 0.013),
    "beef": (20.0, 10.0, 0.5, 0.5, 0.008),
    "mutton": (15.0, 11.0, 0.3, 0.7, 0.010),
    "rice": (0.0, 1.0, 10.0, 0.2, 0.002),
    "wheat": (4.0, 1.0, 15.0, 0.8, 0.005),
    "gel": (0.0, 0.0, 0.0, 0.0, 0.001),
}
"""Ingredient -> protein, fat, fibre, salt [%], cost [$/g]."""


def sure(**contents: float) -> dict[str, Blend]:
    return {symbol: Blend(wt_pct=value, sigma=0.0) for symbol, value in contents.items()}


def one_load(kg: float, limits: tuple[LoadLimit, ...]) -> Outlet:
    """Return an outlet that takes exactly so much, at no price: what is left is the cheapest blend."""
    return Outlet(name="load", price_per_kg=0.0, limits=limits, most_kg=kg, least_kg=kg)


def cheapest(sale: Sale) -> tuple[float, dict[str, float]]:
    """Return what the blend costs and its parts, for a sale in which the load must be made."""
    forced = replace(sale, outlets=(replace(sale.outlets[0], price_per_kg=1000.0),))
    solved = solve(forced, 5.0)
    parts = {part.source: part.mass_kg for part in solved.parts}
    cost = {source.name: source.kept_per_kg for source in sale.sources}
    return sum(cost[name] * kg for name, kg in parts.items()), parts


def test_the_alloy_of_a_textbook() -> None:
    """40 % Sn, 35 % Zn, 25 % Pb cost 23.46 $/lb: 4.35 % of alloy 1, 28.26 % of 2, 67.39 % of 3.

    Source: F. S. Hillier and G. J. Lieberman, Introduction to Operations Research, chapter 3, the exercise of
    the Metalco company (figures and answer from memory).
    """
    sources = tuple(
        Source(name=str(n), mass_kg=1.0, contents=sure(Sn=sn, Zn=zn, Pb=pb), kept_per_kg=cost)
        for n, (sn, zn, pb, cost) in METALCO.items()
    )
    limits = tuple(
        LoadLimit(name=s, weights={s: 1.0}, low=v, high=v) for s, v in (("Sn", 40), ("Zn", 35), ("Pb", 25))
    )

    cost, parts = cheapest(Sale(sources=sources, outlets=(one_load(1.0, limits),)))

    assert cost == pytest.approx(23.46, abs=0.005)
    assert parts == pytest.approx({"1": 0.0435, "2": 0.2826, "3": 0.6739}, abs=5e-5)


def test_the_feed_of_a_tutorial() -> None:
    """100 g with 8 % protein, 6 % fat, at most 2 % fibre and 0.4 % salt cost 0.52: 60 g of beef, 40 g of gel.

    Source: the blending problem of the documentation of PuLP, a modelling library (figures from memory).
    """
    sources = tuple(
        Source(name=name, mass_kg=100.0, contents=sure(protein=p, fat=f, fibre=b, salt=s), kept_per_kg=cost)
        for name, (p, f, b, s, cost) in FEED.items()
    )
    limits = (
        LoadLimit(name="protein", weights={"protein": 1.0}, low=8.0),
        LoadLimit(name="fat", weights={"fat": 1.0}, low=6.0),
        LoadLimit(name="fibre", weights={"fibre": 1.0}, high=2.0),
        LoadLimit(name="salt", weights={"salt": 1.0}, high=0.4),
    )

    cost, parts = cheapest(Sale(sources=sources, outlets=(one_load(100.0, limits),)))

    assert cost == pytest.approx(0.52, abs=1e-6)
    assert parts == pytest.approx({"beef": 60.0, "gel": 40.0}, abs=1e-4)


def drawn_sale(seed: int, *, bales: int = 5, outlets: int = 2, loose: int = 0) -> Sale:
    """Return a sale by chance."""
    chance = random.Random(seed)
    sources = tuple(
        Source(
            name=f"s{n}",
            mass_kg=chance.choice([400.0, 800.0, 1000.0]),
            contents={
                "Cu": Blend(wt_pct=chance.uniform(0.05, 0.8), sigma=chance.uniform(0.0, 0.08)),
                "Sn": Blend(wt_pct=chance.uniform(0.0, 0.1), sigma=0.01),
            },
            is_whole=n < bales,
            kept_per_kg=chance.uniform(0.0, 0.3),
            refused_by={"b0": "no paint"} if chance.random() < 0.2 else {},
        )
        for n in range(bales + loose)
    )
    buyers = tuple(
        Outlet(
            name=f"b{n}",
            price_per_kg=chance.uniform(0.4, 1.2),
            limits=(
                LoadLimit(name="Cu", weights={"Cu": 1.0}, high=chance.uniform(0.2, 0.6)),
                LoadLimit(name="Cu + 8 Sn", weights={"Cu": 1.0, "Sn": 8.0}, high=chance.uniform(0.5, 1.2)),
            ),
            most_kg=chance.choice([None, 1500.0, 2500.0]),
            least_kg=chance.choice([0.0, 1000.0]),
        )
        for n in range(outlets)
    )
    return Sale(sources=sources, outlets=buyers)


@functools.cache
def highest(content: Blend) -> float:
    """Return what is not exceeded in 95 of 100 cases, by scipy's gamma or normal distribution: the more."""
    normal = content.wt_pct + float(norm.ppf(0.95)) * content.sigma
    shape, scale = (content.wt_pct / content.sigma) ** 2, content.sigma**2 / content.wt_pct
    return max(normal, float(gamma(shape, scale=scale).ppf(0.95)))


def keeps(load: list[Source], limit: LoadLimit) -> bool:
    """Tell whether a load keeps an upper limit in 95 of 100 cases, all its sources erring together."""
    high = sum(s.mass_kg * w * highest(s.contents[e]) for s in load for e, w in limit.weights.items())
    return high <= (limit.high or 0.0) * sum(s.mass_kg for s in load) + 1e-9


def with_steps(sale: Sale, seed: int) -> Sale:
    """Return a sale whose outlets pay more for less copper, in two steps, and for little tin."""
    chance = random.Random(seed)

    def claims() -> tuple[Claim, ...]:
        limits = [("Cu", 0.35), ("Cu", 0.25), ("Sn", 0.06)]
        return tuple(
            Claim(
                limit=LoadLimit(name=f"{s}<={high}", weights={s: 1.0}, high=high),
                per_kg=chance.uniform(0.02, 0.15),
            )
            for s, high in limits
        )

    return replace(sale, outlets=tuple(replace(one, claims=claims()) for one in sale.outlets))


def by_hand(sale: Sale) -> float:
    """Return the most that any choice of whole bales brings: every choice is tried."""
    best = -1e9
    for choice in itertools.product([None, *sale.outlets], repeat=len(sale.sources)):
        money, is_allowed = 0.0, True
        for source, outlet in zip(sale.sources, choice, strict=True):
            if outlet is None:
                money += source.mass_kg * source.kept_per_kg
            else:
                is_allowed = is_allowed and outlet.name not in source.refused_by
        for outlet in sale.outlets:
            load = [s for s, o in zip(sale.sources, choice, strict=True) if o is outlet]
            kg = sum(s.mass_kg for s in load)
            is_allowed = is_allowed and (not load or outlet.least_kg <= kg)
            is_allowed = is_allowed and (outlet.most_kg is None or kg <= outlet.most_kg)
            is_allowed = is_allowed and all(keeps(load, limit) for limit in outlet.limits)
            steps = sum(claim.per_kg for claim in outlet.claims if keeps(load, claim.limit))
            money += kg * (outlet.price_per_kg + steps)
        best = max(best, money) if is_allowed else best
    return best


@pytest.mark.parametrize("seed", range(6))
def test_small_sales_are_those_of_brute_force(seed: int) -> None:
    """Of every way to send five bales to two buyers none brings more, and the bound is proved."""
    sale = drawn_sale(seed)

    solved = solve(sale, 5.0)

    best = by_hand(sale)
    assert best * (1 - PROVED_WITHIN) - 1e-6 <= solved.money <= best + 1e-6
    assert best <= solved.bound + 1e-6
    assert solved.gap <= PROVED_WITHIN * solved.money + 1e-6


@pytest.mark.parametrize("seed", range(6, 12))
def test_price_steps_are_those_of_brute_force(seed: int) -> None:
    """With premiums and downgrades too no choice of bales brings more, each load at the price it earns."""
    sale = with_steps(drawn_sale(seed), seed)

    solved = solve(sale, 5.0)

    best = by_hand(sale)
    assert best * (1 - PROVED_WITHIN) - 1e-6 <= solved.money <= best + 1e-6
    assert best <= solved.bound + 1e-6
    prices = {name: level.price_per_kg for name, level in solved.levels.items()}
    brought = sum(part.mass_kg * prices[part.outlet] for part in solved.parts)
    stays = {s.name: s.kept_per_kg * s.mass_kg for s in sale.sources}
    stays = {name: money for name, money in stays.items() if name not in {p.source for p in solved.parts}}
    assert brought + sum(stays.values()) == pytest.approx(solved.money)


def test_nested_steps_are_not_tried_in_every_mixture() -> None:
    """Whoever keeps the lower step keeps the higher one: three steps of copper are four prices, not eight."""
    steps = [
        Claim(limit=LoadLimit(name=f"Cu<={h}", weights={"Cu": 1.0}, high=h), per_kg=0.1)
        for h in (0.3, 0.2, 0.1)
    ]
    other = Claim(limit=LoadLimit(name="Ni>=8", weights={"Ni": 1.0}, low=8.0), per_kg=0.05)

    prices = [one.price_per_kg for one in Outlet(name="b", price_per_kg=1.0, claims=tuple(steps)).levels()]
    assert prices == pytest.approx([1.3, 1.2, 1.1, 1.0])
    assert len(Outlet(name="b", price_per_kg=1.0, claims=(*steps, other)).levels()) == 8
    with pytest.raises(PlanError, match="b has 7 steps"):
        Outlet(name="b", price_per_kg=1.0, claims=(other,) * 7).levels()


@settings(max_examples=25, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    kind=st.sampled_from(["limit", "tonnage", "loose", "source", "outlet", "least", "step"]),
)
def test_more_freedom_never_earns_less(seed: int, kind: str) -> None:
    """A wider limit, more tonnage, premiums, split bales, a further bale or buyer: it brings as much."""
    sale = drawn_sale(seed, loose=1)
    wider = {
        "limit": lambda: replace(sale, outlets=tuple(_wider(one) for one in sale.outlets)),
        "tonnage": lambda: replace(sale, outlets=tuple(replace(o, most_kg=None) for o in sale.outlets)),
        "least": lambda: replace(sale, outlets=tuple(replace(o, least_kg=0.0) for o in sale.outlets)),
        "step": lambda: with_steps(sale, seed),
        "loose": lambda: replace(sale, sources=tuple(replace(s, is_whole=False) for s in sale.sources)),
        "source": lambda: replace(
            sale, sources=(*sale.sources, replace(drawn_sale(seed + 1).sources[0], name="more"))
        ),
        "outlet": lambda: replace(
            sale, outlets=(*sale.outlets, replace(drawn_sale(seed + 1).outlets[0], name="more"))
        ),
    }[kind]()

    less = solve(sale, 5.0).money
    assert solve(wider, 5.0).money >= less * (1 - PROVED_WITHIN) - 1e-6


def _wider(outlet: Outlet) -> Outlet:
    return replace(outlet, limits=tuple(replace(one, high=(one.high or 0.0) + 0.05) for one in outlet.limits))


def test_a_shadow_price_is_what_more_room_is_worth() -> None:
    """A limit wider by a little brings what its shadow price says."""
    dirty = Source(name="dirty", mass_kg=4000.0, contents=sure(Cu=0.5), kept_per_kg=0.2)
    clean = Source(name="clean", mass_kg=2000.0, contents=sure(Cu=0.1), kept_per_kg=0.2)
    limit = LoadLimit(name="Cu<=0.3", weights={"Cu": 1.0}, high=0.3)
    sale = Sale(sources=(dirty, clean), outlets=(Outlet(name="b", price_per_kg=1.0, limits=(limit,)),))
    solved = solve(sale, 5.0)

    more = replace(sale, outlets=(replace(sale.outlets[0], limits=(replace(limit, high=0.30001),)),))
    gained = solve(more, 5.0).money - solved.money

    [price] = solved.shadow_prices
    assert {part.source: round(part.mass_kg) for part in solved.parts} == {"dirty": 2000, "clean": 2000}
    assert price.per_hundredth == pytest.approx(1000 * gained, rel=1e-3)
    assert price.per_hundredth == pytest.approx(160.0)  # 0.01 % of 4000 kg at 0.2 % a kg of dirty, 0.80 each


@pytest.mark.parametrize("seed", range(6))
def test_the_promise_holds_when_drawn(seed: int) -> None:
    """Every load of a plan keeps every limit in at least 95 of 100 draws."""
    plan = best_sale(drawn_sale(seed, loose=2))

    assert plan.is_promise_kept
    assert plan.kept == limits_kept(plan.sale, plan.solved.parts, plan.solved.levels)


def test_contents_are_drawn_as_scipy_draws_them() -> None:
    """One source, one element: the share within its limit is that of the gamma distribution, either end."""
    for content, high in ((Blend(wt_pct=0.3, sigma=0.2), 0.5), (Blend(wt_pct=98.0, sigma=1.0), 99.0)):
        limit = LoadLimit(name="x", weights={"Cu": 1.0}, high=high)
        source = Source(name="s", mass_kg=1.0, contents={"Cu": content})
        outlet = Outlet(name="b", price_per_kg=1.0, limits=(limit,))
        sale = Sale(sources=(source,), outlets=(outlet,))
        [found] = limits_kept(sale, solve(replace(sale, outlets=(replace(outlet, limits=()),)), 1.0).parts)

        less = min(content.wt_pct, 100.0 - content.wt_pct)
        shape, scale = (less / content.sigma) ** 2, content.sigma**2 / less
        theirs = gamma(shape, scale=scale)
        expected = theirs.cdf(high) if content.wt_pct < 50 else theirs.sf(100.0 - high)
        assert found.kept == pytest.approx(expected, abs=4 * np.sqrt(0.25 / 4000))


def test_bales_that_could_be_split_bring_no_less() -> None:
    """A relaxation never earns less; where all can be split anyway it earns the same (linear programming)."""
    whole = drawn_sale(3)
    loose = replace(whole, sources=tuple(replace(source, is_whole=False) for source in whole.sources))

    relaxed = if_split(whole, 5.0)
    assert relaxed is not None and relaxed >= solve(whole, 5.0).money - 1e-6
    assert relaxed == pytest.approx(solve(loose, 5.0).money, rel=2 * PROVED_WITHIN)
