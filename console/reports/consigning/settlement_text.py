"""Settled consignments: estimate against finding, and the bias by bay and element over time."""

from collections.abc import Iterator, Sequence
from typing import Any

from console.ground.cents import cents_text
from console.ground.cleaning import clean
from console.ground.figures import many
from console.ground.mass import format_mass
from console.reports.columns import folded, left, right
from console.yard.loads.judging import K
from console.yard.loads.settling import ANALYSIS, REMARKABLE, Bias, Settled, biases

NONE = "No consignment has been settled yet: baywright load found TAG net=... cu=... paid=..."
LATEST = 6
HOW = (
    f"Difference: found less estimated; U (k = 2) holds the estimate and an analysis ({ANALYSIS}). A mark ! "
    f"stands from {REMARKABLE:g} standard uncertainties on. What all loads share does not average away."
)


def settlement_text(settled: Sequence[Settled], tag: str = "", width: int = 80) -> Iterator[str]:
    """Yield settled loads, and over all of them the bias by bay and element.

    Args:
        settled: Oldest first.
        tag: The one to be told alone, without the bias; empty for all.
        width: Columns, at least 70.
    """
    told = [one for one in settled if not tag or one.tag == tag]
    if not told:
        yield NONE
        return
    for one in told:
        yield from _load(one, width)
        yield ""
    known = [] if tag else biases(settled)
    if known:
        yield "BIAS BY BAY AND ELEMENT [wt %], oldest difference first"
        yield from (_bias(one) for one in known)
        yield ""
    yield from folded(HOW, width)


def _load(one: Settled, width: int) -> Iterator[str]:
    sheet, finding = one.sheet, one.finding
    yield clean(f"{one.tag} settled {one.day}: {sheet.order} {sheet.order_name}, {sheet.buyer_name}")
    if finding.net_g is not None:
        ours, his = (format_mass(g, sheet.unit) for g in (sheet.net_g, finding.net_g))
        less = format_mass(finding.net_g - sheet.net_g, sheet.unit)
        yield f"  weight    ours {ours}, found {his}: {less}"
    if finding.yield_pct is not None:
        yield f"  yield     {finding.yield_pct:.1f} %"
    if finding.paid_cents is not None:
        ours_cents = sheet.cents
        by_order = "" if ours_cents is None else f", by the order {cents_text(ours_cents, sheet.currency)}"
        less = (
            "" if ours_cents is None else f": {cents_text(finding.paid_cents - ours_cents, sheet.currency)}"
        )
        yield f"  paid      {cents_text(finding.paid_cents, sheet.currency)}{by_order}{less}"
    if finding.lost_cents is not None:
        yield f"  downgrade {cents_text(finding.lost_cents, sheet.currency)} taken off"
    if finding.words:
        yield from folded(clean(finding.words), width, first="  said      ", indent=" " * 12)
    for each in one.differences:
        mark = " !" if abs(each.z) > REMARKABLE else ""
        estimate = f"{each.estimated:.3f}"
        yield (
            f"  {left(each.symbol, 4)}estimate {right(estimate, 8)}  found {right(f'{each.found:.3f}', 8)}  "
            f"difference {each.value:+.3f} ± {K * each.sigma:.3f}{mark}"
        )
    if finding.wt_pct and not one.differences:
        yield "  nothing was estimated, so the analysis stands alone"


def _bias(one: Bias) -> str:
    mark = " !" if one.is_remarkable else ""
    last = " ".join(f"{value:+.3f}" for value in one.over_time[-LATEST:])
    loads = many(one.loads, "load", "loads")
    return (
        f"  {left(one.bay, 5)}{left(one.symbol, 4)}{left(loads, 10)}{one.mean:+.3f} ± {K * one.sigma:.3f}"
        f"{left(mark, 3)} {last}"
    )


def settlement_json(settled: Sequence[Settled]) -> dict[str, Any]:
    """Return settled loads and biases JSON-ready."""
    return {
        "loads": [_load_json(one) for one in settled],
        "bias": [
            {
                "bay": one.bay,
                "element": one.symbol,
                "loads": one.loads,
                "mean": round(one.mean, 4),
                "u": round(one.sigma, 4),
                "remarkable": one.is_remarkable,
                "over_time": [round(value, 4) for value in one.over_time],
            }
            for one in biases(settled)
        ],
    }


def _load_json(one: Settled) -> dict[str, Any]:
    return {
        "consignment": one.tag,
        "day": one.day,
        "buyer": one.sheet.buyer,
        "order": one.sheet.order,
        "net_g": one.sheet.net_g,
        "found_net_g": one.finding.net_g,
        "yield_pct": one.finding.yield_pct,
        "cents": one.sheet.cents,
        "paid_cents": one.finding.paid_cents,
        "lost_cents": one.finding.lost_cents,
        "currency": one.sheet.currency,
        "words": one.finding.words,
        "wt_pct": [
            {
                "element": each.symbol,
                "estimated": round(each.estimated, 4),
                "found": each.found,
                "difference": round(each.value, 4),
                "u": round(each.sigma, 4),
                "z": round(each.z, 2),
            }
            for each in one.differences
        ],
    }
