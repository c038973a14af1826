"""How long identify() takes on one whole reading against all grades, in one thread, and against what it
cannot do without.

Every figure is taken in one run: the median over many different readings, the same per 1,000 grades, and the
ratio to the bare special-function evaluations (the normal distribution at three edges of every distinct
limit).
"""

import argparse
import functools
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np

from grade_library.library import GradeLibrary, load
from grade_library.matcher.evidence import compiled_for
from grade_library.matcher.matching import identify, warm
from grade_library.matcher.prior import Prior
from grade_library.normal import normal_cdf
from grade_library.technique import profiles
from tests.benchmarks.simulated import melt_of, shot_of

MOST_MS = 1.0
MOST_RATIO = 5.0
MOST_OF_NUMPY = 1.0
"""A warm load of all grades should cost no more on top of importing numpy than that itself costs."""


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
    print(f"{len(library)} grades, {len(library.elements)} elements")
    print(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores, one thread")
    _measure_loading(len(library))
    for key in profiles():
        _measure(library, key, options.readings, rng)
    return 0


def _measure_loading(n_grades: int) -> None:
    """Print what a warm load costs beside importing numpy: whole processes in turn, the quickest of seven."""
    codes = ("pass", "import numpy", "import numpy; from grade_library.library import load; load()")
    rounds = [[median_ms([functools.partial(_run_alone, code)]) for code in codes] for _ in range(7)]
    bare, with_numpy, loaded = (min(times) for times in zip(*rounds, strict=True))
    ratio = (loaded - with_numpy) / (with_numpy - bare)
    print(
        f"importing numpy {with_numpy - bare:.0f} ms, all {n_grades} grades {loaded - with_numpy:.0f} ms more"
    )
    print(f"  ratio {ratio:.2f}   target < {MOST_OF_NUMPY:g}: {_word(ratio < MOST_OF_NUMPY)}")


def _run_alone(code: str) -> None:
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


def _measure(library: GradeLibrary, key: str, n_readings: int, rng: np.random.Generator) -> None:
    """Print the figures of one technique."""
    profile, flat = profiles()[key], Prior.flat()
    began = time.perf_counter()
    warm(library, key)
    warmed = 1000.0 * (time.perf_counter() - began)
    picks = rng.integers(0, len(library), n_readings)
    facts = [shot_of(melt_of(library.grades[i], library.elements, rng), profile, rng) for i in picks]
    # Once over everything: the twins of each candidate are worked out when it is first shown.
    for one in facts:
        identify(one, library)
    ours = median_ms([functools.partial(identify, one, library) for one in facts])
    without_prior = median_ms([functools.partial(identify, one, library, flat) for one in facts])
    melts = compiled_for(library).readable(library, profile).melts
    edges = np.stack([melts.low, melts.mid, melts.high])
    bare = median_ms([functools.partial(normal_cdf, edges)] * 200)
    readings = [one.shots[0].reading for one in facts]
    reported = statistics.median(len(reading.values) + len(reading.below) for reading in readings)
    per_1000, ratio = 1000.0 * ours / len(library), ours / bare
    print(f"{key}: {reported:.0f} elements reported, warm-up {warmed:.0f} ms")
    print(f"  median {ours:.3f} ms with the usual prior, {without_prior:.3f} ms with a flat one")
    print(f"  {per_1000:.3f} ms per 1,000 grades   target < {MOST_MS:g}: {_word(per_1000 < MOST_MS)}")
    print(f"  {edges.size} evaluations of the normal distribution alone {bare:.3f} ms")
    print(f"  ratio {ratio:.1f}   aim < {MOST_RATIO:g}: {_word(ratio < MOST_RATIO)}")


def _word(is_met: bool) -> str:
    return "met" if is_met else "NOT met"
