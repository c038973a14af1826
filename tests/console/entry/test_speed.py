"""A line is read far faster than a key is struck: its work is counted, which no busy machine changes."""

import cProfile
import pstats
import statistics

from console.entry import claims
from tests.console.entry.conftest import Reader

LINES = (
    "12.4 304",
    "8.2 extrusion 6063 bare ; window frame",
    "5.6 6061 m0 si0.62 fe0.31 cu0.27 mn0.05 mg0.95 cr0.18 zn0.06",
    "2.1 yellow brass fitting m0",
    "3.4 pipe kr sr m0",
    "18.6 304 sheet m0 cr18.2 ni8.1 mn1.5 si0.4 fe71.3 mo0.2",
    "1.0 m0 plated fitting cr57 ni33 zn7.5 // cr0.8 ni21 cu8.5 zn66 // ni0.6 zn94.2 al4.1 cu0.5",
)
MOST_CALLS = 5_500
"""For the median line, nothing remembered from an earlier one."""


def test_a_usual_line_takes_little_work(read: Reader) -> None:
    """The median over usual lines, remembered names forgotten before each, makes few calls."""
    calls = []
    for line in LINES:
        read(line)  # what is compiled once, such as patterns, is no work of a line
        for remembered in (claims._exact, claims._resolve, claims._likeness, claims.near_words):
            remembered.cache_clear()
        with cProfile.Profile() as profile:
            read(line)
        calls.append(pstats.Stats(profile).total_calls)

    print(f"entry line: {calls} calls")
    assert statistics.median(calls) < MOST_CALLS
