"""Put the listed faults into a copy of the code, one at a time, and say which of them the tests notice.

`python -m tests.mutate [WORD ...]` runs the faults of `mutations.toml` whose file's name holds one of the
words, or all. A developers' tool: it takes a quarter of an hour.
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from queue import Queue

ROOT = Path(__file__).resolve().parent.parent
LIST = Path(__file__).with_name("mutations.toml")
COPIED = (
    *("console", "grade_library", "tests", "demo_yard"),
    *("pyproject.toml", "README.md", "DEVELOPERS.md", ".locked"),
)
LONGEST_S = 180.0
"""A fault that makes the tests hang is noticed, too."""
_seconds = count(1_000_000_000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutation:
    """One fault to put into the code."""

    file: str
    old: str
    """Stands exactly once in the file."""
    new: str
    why: str
    """What would go wrong."""
    tests: tuple[str, ...]
    survives: str = ""
    """Why no test notices; empty where one must."""


def listed() -> Iterator[Mutation]:
    """Yield the faults of the list, in its order."""
    for file, table in tomllib.loads(LIST.read_text(encoding="utf-8")).items():
        for old, new, why, *survives in table["faults"]:
            yield Mutation(
                file=file, old=old, new=new, why=why, tests=tuple(table["tests"]), survives="".join(survives)
            )


def is_stale(mutation: Mutation) -> bool:
    """Return whether the code no longer holds the old text exactly once: the list needs a new one."""
    file = ROOT / mutation.file
    return not file.exists() or file.read_text(encoding="utf-8").count(mutation.old) != 1


def is_noticed(mutation: Mutation, copy: Path) -> bool:
    """Return whether a related test fails with the fault in the copy; the copy is as before afterwards."""
    file = copy / mutation.file
    right = file.read_text(encoding="utf-8")
    _write(file, right.replace(mutation.old, mutation.new))
    try:
        return not passes(copy, (mutation.file, *mutation.tests))
    finally:
        _write(file, right)


def _write(file: Path, text: str) -> None:
    """Write code under a time of its own: by size and second Python tells whether its bytecode is stale."""
    file.write_text(text, encoding="utf-8")
    second = next(_seconds)
    os.utime(file, (second, second))


def passes(copy: Path, tests: Sequence[str]) -> bool:
    """Return whether tests, those in a module's own docstrings too, pass in a copy."""
    environment = {**os.environ, "PYTHONPATH": str(copy)}
    try:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:xdist", *tests],
            cwd=copy, env=environment, capture_output=True, timeout=LONGEST_S, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return False
    return done.returncode == 0


def main() -> int:
    """Print a line for each fault and the rate; return 1 where one that must be noticed was not."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("words", nargs="*", help="only files whose name holds one of these")
    parser.add_argument("--copies", type=int, default=2, help="how many run side by side")
    arguments = parser.parse_args()
    chosen = [one for one in listed() if not arguments.words or any(w in one.file for w in arguments.words)]
    for one in filter(is_stale, chosen):
        print(f"STALE: {one.file}: {one.old}")
    chosen = [one for one in chosen if not is_stale(one)]
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(arguments.copies) as threads:
        free: Queue[Path] = Queue()
        for number in range(arguments.copies):
            free.put(copied(Path(folder) / str(number)))

        def run(mutation: Mutation) -> bool:
            copy = free.get()
            try:
                return is_noticed(mutation, copy)
            finally:
                free.put(copy)

        noticed = []
        for mutation, result in zip(chosen, threads.map(run, chosen), strict=True):
            noticed.append(result)
            state = "noticed" if result else "SURVIVED"
            why = mutation.survives or mutation.why
            print(f"{state}: {mutation.file}: {mutation.new}  ({why})", flush=True)
    print(f"{sum(noticed)} of {len(noticed)} noticed ({100.0 * sum(noticed) / max(len(noticed), 1):.1f} %)")
    wrong = [one for one, result in zip(chosen, noticed, strict=True) if not result and not one.survives]
    return 1 if wrong else 0


def copied(copy: Path) -> Path:
    """Copy what the tests need to a folder that is not there yet, and return it."""
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / name, copy / name)
    return copy


if __name__ == "__main__":
    sys.exit(main())
