"""How long identify() takes on one whole reading against all grades, in one thread, and against what it cannot do without.

Every figure is taken in one run: the median over many different readings, the same per 1,000 grades, and the ratio to
the bare special-function evaluations (the normal distribution at three edges of every distinct limit).
"""

import argparse
import os
import statistics
import time
from collections.abc import Callable

import numpy as np

from grade_library.evidence import compiled_for
from grade_library.facts import PieceFacts
from grade_library.library import load
from grade_library.matching import identify, warm
from grade_library.normal import normal_cdf
from grade_library.prior import Prior
from grade_library.technique import profiles
from tests.benchmarks.simulated import melt_of, shot_of

TARGET_MS_PER_1000 = 1.0
TARGET_RATIO = 5.0


def median_ms(calls: list[Callable[[], object]]) -> float:
    """Return the median time of these calls [ms]."""
    times = []
    for call in calls:
        began = time.perf_counter()
        call()
        times.append(1000.0 * (time.perf_counter() - began))
    return statistics.median(times)


def main() -> int:
    """Print the figures; 0 whatever they are."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks speed", description=__doc__)
    parser.add_argument("--readings", type=int, default=400)
    options = parser.parse_args()
    library, rng = load(), np.random.default_rng(1)
    print(f"{len(library)} grades, {len(library.elements)} elements, load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    for key, profile in profiles().items():
        began = time.perf_counter()
        warm(library, key)
        warmed = 1000.0 * (time.perf_counter() - began)
        picks = rng.integers(0, len(library), options.readings)
        facts = [shot_of(melt_of(library.grades[i], library.elements, rng), profile, rng) for i in picks]
        # Once over everything: the twins of each candidate are worked out when it is first shown.
        for one in facts:
            identify(one, library)
        ours = median_ms([lambda one=one: identify(one, library) for one in facts])
        flat = Prior.flat()
        without_prior = median_ms([lambda one=one: identify(one, library, flat) for one in facts])
        melts = compiled_for(library).readable(library, profile).melts
        edges = np.stack([melts.low, melts.mid, melts.high])
        bare = median_ms([lambda: normal_cdf(edges)] * 200)
        reported = statistics.median(len(_reading(one).values) + len(_reading(one).below) for one in facts)
        per_1000 = 1000.0 * ours / len(library)
        print(
            f"{key:5s} {reported:.0f} elements reported: median {ours:.3f} ms ({without_prior:.3f} with a flat prior), "
            f"{per_1000:.3f} ms per 1,000 grades (target < {TARGET_MS_PER_1000:g}: {_word(per_1000 < TARGET_MS_PER_1000)}); "
            f"{edges.size} evaluations of the normal distribution alone {bare:.3f} ms, "
            f"ratio {ours / bare:.1f} (aim < {TARGET_RATIO:g}: {_word(ours / bare < TARGET_RATIO)}); warm-up {warmed:.0f} ms"
        )
    return 0


def _reading(facts: PieceFacts):  # type: ignore[no-untyped-def]
    return facts.shots[0].reading


def _word(is_met: bool) -> str:
    return "met" if is_met else "NOT met"
