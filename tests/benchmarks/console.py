"""How fast the console answers, through a real pseudo-terminal: keys and cold start.

Run with `python -m tests.benchmarks console`. All figures come from one run; cold start is a ratio.
"""

import os
import shutil
import statistics
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from console.commands.progress import followed
from tests.driven.pty_session import ROOT, PtySession

KEYS_ASKED = 200
PAUSE_S = 0.06
"""Between two keys [s]: faster than anybody types for long."""
QUIET_S = 0.03
"""A frame is over when nothing more is painted for so long [s]."""
STARTS = 12
LINES = (
    ("", "8.05 cr18.2 ni8.1 fe71.4 mn1.5 m0 .s"),
    ("", "12.4 304 cr18.4 ni8.3 mo0.2 mn1.4 bare"),
    ("", "3.1 yellow brass cu61.2 zn35.8 pb2.9"),
)
"""What is on the line already, and the keys that are timed after it."""
SUSPICIOUS = (
    ("2.6 libs ni25 cr65 cu6 zn2 // cu64 zn18 ni16 ", "fe0.31 pb1.2 sn0.45"),
    ("4.2 xrf ni58 cr31 fe3 zn8 // zn90.2 cr4 al3.9 ", "ni1.85 fe0.22 cu0.41"),
    ("3.3 libs sn84 cu12.5 zn3 // cu60.9 zn34 sn3.1 ", "pb1.31 fe0.22 ni0.12"),
)
"""The same for series that a plating tells in."""
YARDSTICK = ["-m", "tests.benchmarks.empty_app"]
CONSOLE = ["-m", "console.cli", "--yard"]


def key_times_ms(
    arguments: list[str], last_word: str, lines: Sequence[tuple[str, str]] = LINES
) -> list[float]:
    """Return the time from each key to the last byte of the picture that follows [ms].

    Args:
        arguments: Of the program.
        last_word: Of its first picture.
        lines: What is on the line already, and the keys that are timed.
    """
    session = PtySession(arguments)
    try:
        session.wait_for(last_word)
        session.settle(1.0)
        times: list[float] = []
        while len(times) < KEYS_ASKED:
            for before, keys in lines:
                for key in before:
                    session.send(key)
                    session.read(PAUSE_S)
                session.settle(0.5)
                for key in keys:
                    times.append(_one_key_ms(session, key))
                    time.sleep(PAUSE_S - QUIET_S)
                session.send(b"\x15")
                session.settle()
        return times[:KEYS_ASKED]
    finally:
        session.close()


def _one_key_ms(session: PtySession, key: str) -> float:
    start = time.perf_counter()
    last = start
    session.send(key)
    while session.read(QUIET_S if last > start else 1.0):
        last = time.perf_counter()
    assert last > start, f"nothing was painted for a key; exit status {session.process.poll()}"
    return (last - start) * 1e3


def cold_start_ms(arguments: list[str], last_word: str) -> float:
    """Return the time from the start of the process to a first picture that holds its last word [ms]."""
    start = time.perf_counter()
    session = PtySession(arguments)
    try:
        session.wait_for(last_word)
        return (time.perf_counter() - start) * 1e3
    finally:
        session.close()


def quantile(values: list[float], share: float) -> float:
    """Return the value below which a share of all values lies."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def main() -> int:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as scratch:
        yard = Path(scratch)
        shutil.copy(ROOT / "demo_yard" / "yard.toml", yard)
        (yard / "readings").mkdir()
        console = [*CONSOLE, str(yard)]
        times = key_times_ms(console, "since")
        bare = key_times_ms(YARDSTICK, "Quit")
        print(f"key to repainted candidates, {len(times)} keys, 80x24, real pty: ", end="")
        print(
            f"p50 {quantile(times, 0.5):.1f} ms (aim 8), p99 {quantile(times, 0.99):.1f} ms (aim 16); ",
            end="",
        )
        print(f"a bare input line p50 {quantile(bare, 0.5):.1f}, p99 {quantile(bare, 0.99):.1f} ms, ", end="")
        print(f"ratio of p50 {quantile(times, 0.5) / quantile(bare, 0.5):.2f}")
        odd = key_times_ms(console, "since", SUSPICIOUS)
        print(f"the same over suspicious readings, {len(odd)} keys: ", end="")
        print(
            f"p50 {quantile(odd, 0.5):.1f} ms (aim 8), p99 {quantile(odd, 0.99):.1f} ms (aim 16)", flush=True
        )
        ours, empty = [], []
        for _ in followed(range(STARTS), "cold starts", STARTS):
            empty.append(cold_start_ms(YARDSTICK, "Quit"))
            ours.append(cold_start_ms(console, "F1"))
        start_ms, yardstick_ms = statistics.median(ours), statistics.median(empty)
        print(f"cold start to first picture: {start_ms:.0f} ms, empty app {yardstick_ms:.0f} ms, ", end="")
        print(f"ratio {start_ms / yardstick_ms:.2f} (aim 1.20)", flush=True)
        print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
