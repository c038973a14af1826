"""What settled loads have taught of the bays: as plain text and as JSON, for `baywright learned`."""

from collections.abc import Iterator, Sequence
from typing import Any

from console.reports.columns import folded, left, right
from console.yard.loads.judging import K
from console.yard.loads.shift import Shift

OFF = "Switched off (learn_from_settlements = false in yard.toml): the estimates count as they are."
HOW = (
    "Found less estimated [wt %], and what of it counts after a normal bias around none, as unsure before as "
    "what the loads had in common; ± is U (k = 2). From the next start on it stands in the chance that a bay "
    "keeps its limits; where nobody read the element, in the residuals of the grades that the bay takes."
)


def shifts_text(shifts: Sequence[Shift], *, is_on: bool, width: int = 80) -> Iterator[str]:
    """Yield what settled loads taught, bay by bay.

    Args:
        shifts: What they teach, counted or not; at least one.
        is_on: False where the yard has it switched off.
        width: Columns, at least 70.
    """
    yield "SETTLED LOADS AGAINST ESTIMATES"
    if not is_on:
        yield from folded(OFF, width)
    yield (
        left("bay", 6) + left("", 4) + right("loads", 6) + right("estimated", 11) + right("found", 9)
        + right("counts", 17) + right("before", 11) + right("unread", 9)
    )  # fmt: skip
    for one in shifts:
        counts = f"{one.mean:+.3f} ± {K * one.sigma:.3f}"
        yield (
            left(one.bay, 6) + left(one.symbol, 4) + right(str(one.loads), 6)
            + right(f"{one.estimated:.3f}", 11) + right(f"{one.found:+.3f}", 9) + right(counts, 17)
            + right(f"± {K * one.before:.3f}", 11) + right(f"{100.0 * one.unread:.0f} %", 9)
        )  # fmt: skip
    yield from folded(HOW, width)


def shifts_json(shifts: Sequence[Shift], *, is_on: bool) -> dict[str, Any]:
    """Return the same JSON-ready."""
    return {
        "learning": is_on,
        "bays": [
            {
                "bay": one.bay,
                "element": one.symbol,
                "loads": one.loads,
                "estimated": round(one.estimated, 4),
                "found_less_estimated": round(one.found, 4),
                "shift": round(one.mean, 5),
                "u": round(one.sigma, 5),
                "u_before": round(one.before, 5),
                "unread": round(one.unread, 4),
            }
            for one in shifts
        ],
    }
