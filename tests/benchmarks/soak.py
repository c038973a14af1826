"""Whether the console stays as quick and as small as it was through a very long run.

`python -m tests.benchmarks soak [--pieces N]`: pieces of several kinds, some read, some undone and done
again, are typed into the real console through a pseudo-terminal. After each tenth part: resident memory, and
what one piece cost the program, keys and all. Processor time is compared, not the clock on the wall, so that
other work on the machine moves the figures little.
"""

import argparse
import os
import shutil
import tempfile
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

from console.commands.progress import followed
from tests.driven.pty_session import ROOT, PtySession

PIECES = 20_000
STEPS = 10
LINES = ("8 cr18 ni8", "12.4 304", "3.1 ybr", "7.5", "8.2 6063", "2.9 cu61 zn36 pb3", "4.4 brass m0")
HELD, HELD_EVERY = "0.9 .h oily", 200
"""The hold shelf is in memory; a yard resolves its holds, and few pieces are held."""
UNDONE_EVERY = 50
CALM = 25
"""The answer is waited for after so many pieces; between two waits keys run ahead."""
MEMORY_AIM_MIB = 15.0
"""Growth from the first tenth to the last that counts as flat; our own choice."""
COST_AIM = 1.15
"""Ratio of the last tenth's cost of a piece to the second's that counts as flat; our own choice."""
F4, F5 = b"\x1bOS", b"\x1b[15~"


class Step(NamedTuple):
    """What was seen after a part of the run."""

    pieces: int
    memory_mib: float
    cpu_s: float
    """Processor time of the program since its start [s]."""


def main() -> int:
    """Print memory and cost step by step; 1 when one of them is not flat."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pieces", type=int, default=PIECES)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        yard = Path(scratch)
        shutil.copy(ROOT / "demo_yard" / "yard.toml", yard)
        (yard / "readings").mkdir()
        steps = soak(yard, arguments.pieces)
    costs = [
        (after.cpu_s - before.cpu_s) / (after.pieces - before.pieces) * 1e3
        for before, after in pairwise(steps)
    ]
    print(f"{'pieces':>8} {'MiB':>7} {'ms of processor a piece':>26}")
    for step, cost in zip(steps[1:], costs, strict=True):
        print(f"{step.pieces:>8} {step.memory_mib:>7.1f} {cost:>26.1f}")
    grown, ratio = steps[-1].memory_mib - steps[1].memory_mib, costs[-1] / costs[1]
    print(f"memory grew by {grown:.1f} MiB after the first tenth (aim {MEMORY_AIM_MIB:.0f})")
    print(f"a piece of the last tenth costs {ratio:.2f} of one of the second (aim {COST_AIM})")
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    return 1 if grown > MEMORY_AIM_MIB or ratio > COST_AIM else 0


def soak(yard: Path, pieces: int) -> list[Step]:
    """Return what was seen at the start and after each part, of the real console on a yard."""
    session = PtySession(["-m", "console.cli", "--yard", str(yard)])
    try:
        session.wait_for("since")
        session.settle(1.0)
        steps = [_seen(session, 0)]
        for part in range(1, STEPS + 1):
            numbers = range((part - 1) * pieces // STEPS, part * pieces // STEPS)
            for number in followed(numbers, f"a long run, part {part}", len(numbers), unit="pieces"):
                _one_piece(session, number)
            steps.append(_seen(session, part * pieces // STEPS))
        return steps
    finally:
        session.close()


def _one_piece(session: PtySession, number: int) -> None:
    line = HELD if number % HELD_EVERY == 0 else LINES[number % len(LINES)]
    session.send(line + "\r")
    session.read(0.002)
    if number % CALM == CALM - 1:
        session.wait_for(f"{number + 1} pieces", within_s=120.0)
        session.painted = b""  # what was painted before is not asked for again
    if number % UNDONE_EVERY == UNDONE_EVERY - 1:
        session.send(F4)
        session.wait_for(f"{number} pieces", within_s=60.0)
        session.send(F5)
        session.wait_for(f"{number + 1} pieces", within_s=60.0)


def _seen(session: PtySession, pieces: int) -> Step:
    return Step(pieces, memory_mib(session.process.pid), processor_s(session.process.pid))


def memory_mib(pid: int) -> float:
    """Return the resident memory of a process [MiB]."""
    for row in Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines():
        if row.startswith("VmRSS:"):
            return int(row.split()[1]) / 1024
    raise AssertionError("the system does not tell the memory of a process")


def processor_s(pid: int) -> float:
    """Return the processor time that a process has used, its own and the system's for it [s]."""
    # Fields 14 and 15 of proc(5) stat, counted behind the name, which may hold blanks.
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    raise SystemExit(main())
