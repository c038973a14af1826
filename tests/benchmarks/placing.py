"""What checking pays: four policies on the same simulated pieces, in kg misplaced, money lost and minutes
spent.

Policies: never shoot; shoot everything; a fixed rule (shoot when magnet and eye leave more than one bay);
and the advice of the program. Everyone starts from the same magnet, look and, for some pieces, a name. A
piece that ends on hold is settled rightly by a second look, whose time is counted unless no bay takes such
metal anyway. Prints a table, says plainly whether the aims are met, and draws money against time.
"""

import argparse
import time
from dataclasses import replace
from pathlib import Path

from console.commands.progress import followed
from grade_library.library import load
from tests.benchmarks.placing_picture import draw
from tests.benchmarks.placing_pieces import KNOWN_BY_EYE, shift
from tests.benchmarks.placing_policies import POLICIES, House, Outcome
from tests.yards import load_yard

DEMO_YARD = Path(__file__).resolve().parents[2] / "demo_yard"
SEED = 61
AIM_MONEY, AIM_TIME = 0.90, 0.25


def run(
    house: House, pieces: int, shifts: int, seed: int, known: float = KNOWN_BY_EYE
) -> tuple[dict[str, Outcome], float, float]:
    """Return what each policy came to, what everything would fetch placed rightly, and the weight [kg]."""
    outcomes = {name: Outcome() for name in POLICIES}
    perfect = kg = 0.0
    for number in followed(range(shifts), "shifts", shifts):
        for piece in shift(house.library, pieces, seed + number, known):
            kg += piece.mass_g / 1000.0
            perfect += house.best_price(piece) * piece.mass_g / 1000.0
            for name, policy in POLICIES.items():
                policy(house, piece, outcomes[name])
    return outcomes, perfect, kg


def report(outcomes: dict[str, Outcome], perfect: float, kg: float, pieces: int, house: House) -> list[str]:
    """Return the table and the judgement, line by line."""
    currency = house.yard.currency
    lines = [
        f"{pieces} pieces, {kg:.0f} kg, worth {perfect:.0f} {currency} where all lies where it belongs",
        "",
        f"{'':<20}{'misplaced':>16}{'lost':>12}{'minutes':>9}{'held':>6}{'net of time':>13}   checks",
    ]
    for name, one in outcomes.items():
        lost = perfect - one.earned
        net = one.earned - one.used_up - house.yard.sorter.cost_of(one.seconds)
        made = ", ".join(f"{kind} {count}" for kind, count in sorted(one.checks.items()))
        lines.append(
            f"{name:<20}{one.misplaced_g / 1000.0:>8.1f} kg {one.pieces_misplaced:>4}"
            f"{lost:>8.0f} {currency}{one.seconds / 60.0:>9.1f}{one.held:>6}{net:>9.0f} {currency}   {made}"
        )
    return [*lines, "", *judge(outcomes)]


def judge(outcomes: dict[str, Outcome]) -> list[str]:
    """Return whether the aims are met, in words."""
    never, everything, rule, advice = (outcomes[name] for name in POLICIES)
    of_money = advice.earned / everything.earned
    of_gain = (advice.earned - never.earned) / max(everything.earned - never.earned, 1e-9)
    of_time = advice.seconds / everything.seconds
    is_worse = advice.earned < rule.earned and advice.seconds > rule.seconds
    return [
        f"money of shooting everything: {100.0 * of_money:.1f} %   aim >= {100.0 * AIM_MONEY:.0f} %: "
        + _met(of_money >= AIM_MONEY),
        f"gain of shooting everything over never shooting: {100.0 * of_gain:.1f} %   (stricter, aim >= "
        f"{100.0 * AIM_MONEY:.0f} %: {_met(of_gain >= AIM_MONEY)})",
        f"time of shooting everything: {100.0 * of_time:.1f} %   aim <= {100.0 * AIM_TIME:.0f} %: "
        + _met(of_time <= AIM_TIME),
        f"against the fixed rule: {advice.earned - rule.earned:+.1f} in money, "
        f"{(advice.seconds - rule.seconds) / 60.0:+.1f} minutes   aim not worse on both: "
        + _met(not is_worse),
    ]


def sweep(house: House, outcomes: dict[str, Outcome], options: argparse.Namespace) -> list[str]:
    """Return what the advice comes to when an hour at the bench costs more or less, on the same pieces."""
    never, everything = outcomes["never shoot"], outcomes["shoot everything"]
    lines = []
    for text in filter(None, options.sweep.split(",")):
        sorter = replace(house.yard.sorter, cost_per_hour=float(text))
        other, outcome = House(yard=replace(house.yard, sorter=sorter), library=house.library), Outcome()
        for number in followed(range(options.shifts), f"shifts at {text} an hour", options.shifts):
            for piece in shift(house.library, options.pieces, options.seed + number, options.known):
                POLICIES["Baywright's advice"](other, piece, outcome)
        gain = (outcome.earned - never.earned) / max(everything.earned - never.earned, 1e-9)
        lines.append(
            f"advice at {text} {house.yard.currency} an hour: {100.0 * gain:.1f} % of the gain of shooting "
            f"everything in {100.0 * outcome.seconds / everything.seconds:.1f} % of its time"
        )
    return lines


def _met(is_met: bool) -> str:
    return "met" if is_met else "NOT met"


def main() -> int:
    """Run the benchmark; 0 whatever it finds, since it measures and does not judge a build."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks placing", description=__doc__)
    parser.add_argument("--pieces", type=int, default=200, help="pieces in a shift")
    parser.add_argument("--shifts", type=int, default=3, help="shifts, each with its own mix")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--yard", type=Path, default=DEMO_YARD, help="folder with another yard.toml")
    parser.add_argument(
        "--sweep", default="30,120", help="other prices of an hour at which the advice is followed too"
    )
    parser.add_argument("--out", type=Path, help="write table and picture into this folder")
    parser.add_argument("--known", type=float, default=KNOWN_BY_EYE, help="share of pieces named by eye")
    parser.add_argument("--cost-per-hour", type=float, help="of the sorter, in place of yard.toml's")
    options = parser.parse_args()
    library = load()
    yard = load_yard(options.yard, library)
    if options.cost_per_hour is not None:
        yard = replace(yard, sorter=replace(yard.sorter, cost_per_hour=options.cost_per_hour))
    house = House(yard=yard, library=library)
    began = time.perf_counter()
    outcomes, perfect, kg = run(house, options.pieces, options.shifts, options.seed, options.known)
    lines = report(outcomes, perfect, kg, options.pieces * options.shifts, house)
    lines += ["", *sweep(house, outcomes, options)]
    print("\n".join(lines))
    print(f"\nseed {options.seed}, {time.perf_counter() - began:.0f} s")
    if options.out is not None:
        options.out.mkdir(parents=True, exist_ok=True)
        (options.out / "placing.txt").write_text("\n".join(lines) + "\n", "utf-8")
        (options.out / "placing.svg").write_text(draw(outcomes, perfect, house.yard.currency), "utf-8")
    return 0
