"""How long `baywright identify --readings` takes over a file of many pieces, as text and as JSON.

Real metal read by x-ray and by laser, a row each; every fifth row is odd: a first shot on one of the skins of
four kinds that share no code with the matcher. The whole process is timed, start and end included, on the
processors at hand; beside it the processor time that it used, which other work on the machine changes less.
"""

import argparse
import csv
import itertools
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from grade_library.facts import Reading
from grade_library.library import load
from grade_library.technique import profiles
from tests.benchmarks.certified import materials
from tests.benchmarks.foreign_skins import WAYS, reading_of

ROOT = Path(__file__).resolve().parents[2]
SEED = 613
ODD_EVERY = 5
MOST_SECONDS_TWO_CORES = 6.0


def written(path: Path, n_rows: int) -> None:
    """Write a file of readings, every fifth of them odd."""
    rng = np.random.default_rng(SEED)
    metals, known = materials(load()), profiles()
    ways = itertools.cycle(WAYS.values())
    rows: list[dict[str, str]] = []
    for i in range(n_rows):
        metal = metals[int(rng.integers(len(metals)))].whole
        technique = ("xrf", "libs")[i // ODD_EVERY % 2]
        if i % ODD_EVERY:
            reading = reading_of(metal, known[technique], rng)
        else:
            reading = next(ways)(metal, known[technique], 1, rng).shots[0].reading
        rows.append({"piece": str(i + 1), "technique": technique, **_cells(reading)})
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, sorted({name for row in rows for name in row}), restval="")
        table.writeheader()
        table.writerows(rows)


def _cells(reading: Reading) -> dict[str, str]:
    """Return a reading as the cells of a row."""
    found = {symbol: f"{value:.4g}" for symbol, value in reading.values.items()}
    return {**found, **{symbol: f"<{least:.4g}" for symbol, least in reading.below.items()}}


def seconds(arguments: list[str]) -> tuple[float, float]:
    """Return how long the command takes by the clock, and the processor time that it and its children use
    [s]."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    command = [sys.executable, "-m", "console.cli", "identify", *arguments]
    subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL, timeout=900)
    took, after = time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN)
    return took, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> int:
    """Print the figures; 0 whatever they are."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks readings", description=__doc__)
    parser.add_argument("--rows", type=int, default=5000)
    options = parser.parse_args()
    n_cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    with tempfile.TemporaryDirectory() as scratch:
        path = Path(scratch) / "readings.csv"
        written(path, options.rows)
        yard = ["--yard", str(ROOT / "demo_yard"), "--readings", str(path)]
        empty, _ = seconds(["--yard", str(ROOT / "demo_yard"), "820g cu bare"])
        print(f"{options.rows} rows, every {ODD_EVERY}th odd, {n_cores} cores; one line alone {empty:.1f} s")
        for name, more in (("text", []), ("JSON", ["--json"])):
            took, used = seconds([*yard, *more])
            print(
                f"  {name}: {took:.1f} s, {1e3 * took * n_cores / options.rows:.2f} ms a row and core; "
                f"processor time {used:.1f} s, {1e3 * used / options.rows:.2f} ms a row "
                f"(aim for 5000 rows on two cores {MOST_SECONDS_TWO_CORES:g} s)"
            )
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {n_cores} cores")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
