"""What settled loads have taught of the bays: as plain text and as JSON, for `baywright learned`."""

from collections.abc import Iterator, Sequence
from typing import Any

from console.reports.columns import Columns, folded, left
from console.yard.loads.judging import K
from console.yard.loads.shift import Shift

_COLUMNS = Columns(73, (6, 11, 9, 17, 11, 9))
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
    yield _COLUMNS.row("bay", "loads", "estimated", "found", "counts", "before", "unread")
    for one in shifts:
        figures = (f"{one.estimated:.3f}", f"{one.found:+.3f}", f"{one.mean:+.3f} ± {K * one.sigma:.3f}")
        rest = (f"± {K * one.before:.3f}", f"{100.0 * one.unread:.0f} %")
        yield _COLUMNS.row(left(one.bay, 6) + one.symbol, str(one.loads), *figures, *rest)
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
