"""Check samples as text: the state, one line per element, and a control chart for the terminal."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from console.ground.dates import local_day_and_time
from console.ground.figures import many
from console.reports.columns import folded
from console.yard.coupons.check_state import ElementControl, SampleControl, widening
from console.yard.coupons.control_rules import BEYOND, Rule, individuals_chart, signals

WIDTH = 80
"""Columns of the whole text."""
_LABEL = 6
OWN_LIMITS_FROM = 20
"""Shots before the coupon's own scatter says anything (common practice)."""
_SHORT = {Rule.BEYOND_THREE: "beyond 3σ", Rule.TWO_OF_THREE: "2 of 3", Rule.EIGHT_RUNNING: "8 running"}
_HEIGHT = 4
"""Levels above and below the known value, 1 σ each; what lies beyond is drawn as an arrow at the edge."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """What a chart is drawn with, one cell each."""

    point: str
    alarm: str
    above: str
    below: str
    limit: str
    centre: str
    warning: str


DRAWN = Marks(point="o", alarm="●", above="▲", below="▼", limit="─", centre="┄", warning="·")
PLAIN = Marks(point="o", alarm="X", above="^", below="v", limit="-", centre="=", warning=".")


def controls_text(
    controls: Sequence[SampleControl], *, is_plain: bool = False, has_charts: bool = True
) -> str:
    """Return state, elements and charts of every check sample, at most 80 columns wide.

    Args:
        controls: How the samples stand.
        is_plain: Draw in ASCII.
        has_charts: Draw the chart of every element.
    """
    if not controls:
        return "No check sample in yard.toml: add a table [[check_sample]] with name and known_wt_pct."
    text = "\n\n".join(_control_text(control, is_plain, has_charts) for control in controls)
    return _ascii(text) if is_plain else text


def control_lines(control: SampleControl) -> list[str]:
    """Return the state of one sample and what to do, then a line per element; at most 80 columns."""
    lines = [f"{control.sample.name}: {control.state.value}", *_wrapped(control.what_to_do)]
    if control.is_out:
        lines += _wrapped(_in_doubt(control))
    if control.elements:
        lines.append("  element  known  read     bias    σ      z     broken rule")
    for element in control.elements:
        last = element.last
        rules = ", ".join(_SHORT[rule] for rule in element.rules) or "-"
        below = "<" if last.is_below else " "
        lines.append(
            f"  {element.symbol:<7} {last.known:6.2f} {below}{last.measured:5.2f} {last.bias:+8.3f} "
            f"{last.sigma:6.3f} {last.z:+6.2f}   {rules}"
        )
    return lines


def control_sentence(control: SampleControl) -> str:
    """Return how one sample stands, why, and what to do, in one paragraph."""
    said = [f"{control.sample.name}: {control.state.value}."]
    if control.is_out:
        said += [f"{element.sentence}." for element in control.broken]
        said.append(_in_doubt(control))
    return " ".join([*said, control.what_to_do])


def control_json(control: SampleControl) -> dict[str, Any]:
    """Return the state of one sample, JSON-ready."""
    return {
        "sample": control.sample.name,
        "technique": control.sample.technique,
        "state": control.state.value,
        "what_to_do": control.what_to_do,
        "last_utc": _iso(control.last_at),
        "due_utc": _iso(control.due_at),
        "in_control_utc": _iso(control.good_at),
        "elements": [
            {
                "symbol": element.symbol,
                "known_wt_pct": element.last.known,
                "read_wt_pct": element.last.measured,
                "is_below": element.last.is_below,
                "bias_wt_pct": round(element.last.bias, 4),
                "sigma_wt_pct": round(element.last.sigma, 4),
                "z": round(element.last.z, 3),
                "broken": [rule.value for rule in element.rules],
                "sigma_factor": round(
                    widening([control]).get(control.sample.technique, {}).get(element.symbol, 1.0), 3
                ),
                "shots": len(element.z),
            }
            for element in control.elements
        ],
    }


def chart(element: ElementControl, *, is_plain: bool = False) -> list[str]:
    """Return the control chart of one element: z of the newest shots against 0, ±2 σ and ±3 σ.

    Args:
        element: The element with its shots.
        is_plain: Draw in ASCII.
    """
    marks = PLAIN if is_plain else DRAWN
    shown = min(len(element.z), WIDTH - _LABEL - 1)
    first = len(element.z) - shown
    alarms = [bool(signals(element.z[: index + 1])) for index in range(first, len(element.z))]
    levels = [_level(z) for z in element.z[first:]]
    rows = []
    for level in range(_HEIGHT, -_HEIGHT - 1, -1):
        ground = {0: marks.centre, 2: marks.warning, 3: marks.limit}.get(abs(level), " ")
        cells = [
            _mark(marks, level, z, alarm) if at == level else ground
            for at, z, alarm in zip(levels, element.z[first:], alarms, strict=True)
        ]
        label = {0: "known", 2: f"{level:+d} σ", 3: f"{level:+d} σ"}.get(abs(level), "")
        rows.append(f"{label:>{_LABEL - 1}} {''.join(cells)}".rstrip())
    return rows


def _level(z: float) -> int:
    """Return the row of a point; only one beyond 3 σ is drawn beyond that line."""
    if abs(z) > BEYOND:
        return int(math.copysign(_HEIGHT, z))
    return int(math.copysign(min(round(abs(z)), BEYOND), z))


def _mark(marks: Marks, level: int, z: float, alarm: bool) -> str:
    """Return the mark of a point; one far off the picture is an arrow."""
    if abs(z) > _HEIGHT + 0.5:
        return marks.above if level > 0 else marks.below
    return marks.alarm if alarm else marks.point


def _control_text(control: SampleControl, is_plain: bool, has_charts: bool) -> str:
    lines = control_lines(control)
    if not has_charts:
        return "\n".join(lines)
    for element in control.elements:
        shots = many(len(element.z), "shot", "shots")
        lines += ["", f"{element.symbol} of {control.sample.name}, {shots}"]
        lines += chart(element, is_plain=is_plain)
        lines += _own_scatter(element)
    if control.elements:
        marks = PLAIN if is_plain else DRAWN
        lines += [
            "",
            f"{marks.point} in control   {marks.alarm} out of control   "
            f"{marks.above} {marks.below} the same, off the picture   oldest left",
        ]
    return "\n".join(lines)


def _own_scatter(element: ElementControl) -> list[str]:
    """Return what the coupon's own scatter says of σ, once there are shots enough."""
    if len(element.z) < OWN_LIMITS_FROM:
        return []
    own = individuals_chart(element.z)
    return [
        f"      own scatter {own.sigma:.2f} of the σ reckoned with, mean {own.mean:+.2f} σ,",
        f"      own limits {own.lower:+.2f} to {own.upper:+.2f} σ",
    ]


def _in_doubt(control: SampleControl) -> str:
    if control.good_at is None:
        return "No shot was in control before: whatever was read is in doubt."
    return f"What was read since {local_day_and_time(control.good_at)}, the last good shot, is in doubt."


def _wrapped(text: str) -> list[str]:
    return folded(text, WIDTH - 2, first="  ", indent="  ")


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="seconds")


def _ascii(text: str) -> str:
    """Return the text without what a plain terminal lacks; names keep their letters as far as ASCII goes."""
    return text.replace("σ", "s").encode("ascii", "replace").decode("ascii")
