"""How long the best sale of 60 bales to 6 orders takes, and how far it is proved.

`python -m tests.benchmarks plan [--bales N] [--orders N] [--sales N] [--seconds S]`
"""

import argparse
import random
import statistics
import time

from console.yard.selling.plan import SECONDS, best_sale
from console.yard.selling.sale import Claim, LoadLimit, Outlet, Sale, Source
from grade_library.lots.blending import Blend

SPREAD = {"Cu": (0.02, 0.5), "Zn": (0.02, 0.4), "Fe": (0.1, 0.9), "Si": (0.2, 1.2)}
"""Symbol -> what a bale holds [wt %]: limits of the orders lie in the middle of it, so that blending pays."""
LIMITS = {"Cu": (0.15, 0.4), "Zn": (0.1, 0.3), "Fe": (0.3, 0.7)}


def main() -> int:
    """Run the benchmark; 1 where one took longer than the target."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bales", type=int, default=60)
    parser.add_argument("--orders", type=int, default=6)
    parser.add_argument("--sales", type=int, default=5)
    parser.add_argument("--seconds", type=float, default=SECONDS)
    arguments = parser.parse_args()
    best_sale(drawn(0, 2, 2))  # scipy is imported
    took, gaps = [], []
    for seed in range(arguments.sales):
        sale = drawn(seed, arguments.bales, arguments.orders)
        start = time.perf_counter()
        plan = best_sale(sale, seconds=arguments.seconds)
        took.append(time.perf_counter() - start)
        gaps.append(100.0 * plan.solved.gap / plan.solved.money)
        kept = "kept" if plan.is_promise_kept else "NOT KEPT"
        found = f"{took[-1]:6.2f} s  {plan.solved.money:10.2f}  gap {gaps[-1]:5.2f} %"
        print(f"{seed:>3} {found}, promise {kept}, checks {len(plan.checks)}")
    print(f"longest {max(took):.2f} s, gap median {statistics.median(gaps):.2f} %, most {max(gaps):.2f} %")
    return 0 if max(took) <= arguments.seconds * 1.1 else 1


def drawn(seed: int, bales: int, orders: int) -> Sale:
    """Return a sale by chance: every bale could go to every order, each with limits, tonnage and a step."""
    chance = random.Random(seed)
    sources = tuple(
        Source(
            name=f"T1-B{number}",
            mass_kg=chance.uniform(600.0, 1000.0),
            is_whole=True,
            kept_per_kg=chance.uniform(0.4, 0.8),
            contents={
                symbol: Blend(wt_pct=chance.uniform(*ends), sigma=chance.uniform(0.005, 0.03))
                for symbol, ends in SPREAD.items()
            },
        )
        for number in range(bales)
    )
    return Sale(sources=sources, outlets=tuple(_order(chance, number) for number in range(orders)))


def _order(chance: random.Random, number: int) -> Outlet:
    high = {symbol: chance.uniform(*ends) for symbol, ends in LIMITS.items()}
    step = LoadLimit(name="less Cu", weights={"Cu": 1.0}, high=0.7 * high["Cu"])
    return Outlet(
        name=f"O{number}",
        price_per_kg=chance.uniform(1.2, 1.9),
        limits=tuple(
            LoadLimit(name=symbol, weights={symbol: 1.0}, high=most) for symbol, most in high.items()
        ),
        claims=(Claim(limit=step, per_kg=0.05),),
        most_kg=chance.choice([None, 8_000.0, 12_000.0, 20_000.0]),
    )
