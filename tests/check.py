"""Run every check in order and stop at the first failure: format, lint, types, data, tests, faults.

`python -m tests.check` is what the README's test command and continuous integration call.
"""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SIDE_BY_SIDE = ("-n", str(min(4, (os.cpu_count() or 1) + 1)), "--dist", "worksteal")
"""One worker more than cores: now and then a test waits for a program that it started."""
STEPS = (
    ("format", ["ruff", "format", "--check", "."]),
    ("lint", ["ruff", "check", "."]),
    ("types", ["mypy"]),
    ("data", ["console.cli", "audit"]),
    ("tests", ["pytest", *SIDE_BY_SIDE, "--ignore", "tests/faults"]),
    ("faults", ["tests.faults", *SIDE_BY_SIDE]),
)


def main() -> int:
    """Return 0 when every step passed, else the exit status of the first that failed."""
    for name, command in STEPS:
        print(f"== {name}", flush=True)
        done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, check=False)
        if done.returncode != 0:
            print(f"== {name} failed with exit status {done.returncode}", flush=True)
            return done.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main())
