"""How a bay stands with a limit of its buyer, in one row; of many bays those that are nearest to theirs."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from console.drawing.drawn import cell
from console.drawing.figures import bar
from console.ground.figures import with_sigma

if TYPE_CHECKING:
    from console.yard.chemistry.headroom import BayChemistry, LimitState
    from console.yard.yard import Thresholds

TOO_LITTLE = "too little"
NEAREST = "bays nearest to a limit of their buyer, wt %"
LEAST_ROWS = 4
"""Fewer rows are not worth a list: a gap, its head, two bays."""
_BAY, _LIMIT, _CONTENT, _WORD = 5, 12, 15, 11


def limit_row(
    state: "LimitState", chemistry: "BayChemistry", thresholds: "Thresholds", width: int
) -> Content:
    """Return limit, content, how much of the limit is used up, and how the bay stands with it in a word."""
    word, style = _standing(state, chemistry, thresholds)
    content = with_sigma(state.content.wt_pct, state.content.sigma)
    full, rest = bar(state.used, max(2, width - _LIMIT - _CONTENT - _WORD - 1))
    return Content.assemble(
        (cell(f"{state.symbol} {state.limit}", _LIMIT), "bold"),
        cell(content, _CONTENT - 1, right=True) + " ",
        (full, style or "$primary"),
        (rest, "$bar-rest"),
        (" " + cell(word, _WORD), f"bold {style}" if style else "$quiet"),
    )


def nearest_limits(
    of_bays: Mapping[str, "BayChemistry"], thresholds: "Thresholds", width: int, height: int
) -> list[Content]:
    """Return a gap, a head and a row a bay: the limit that gives out first, the nearest of all first.

    Args:
        of_bays: By the code of the bay, those that hold metal.
        thresholds: What counts as a risk, and as too little to say anything; such bays come last.
        width: Cells of the pane.
        height: Rows that are free in it; with too few nothing is drawn.
    """
    limited = [(code, one) for code, one in of_bays.items() if one.limits and one.composition]
    if height < LEAST_ROWS or not limited:
        return []
    tightest = [(code, one, max(one.limits, key=lambda state: state.used)) for code, one in limited]
    tightest.sort(key=lambda row: (row[1].says_nothing(thresholds), -row[2].used, row[0]))
    rows = [Content(""), Content.styled(cell(NEAREST, width), "$quiet")]
    for code, chemistry, state in tightest[: height - len(rows)]:
        row = limit_row(state, chemistry, thresholds, width - _BAY)
        rows.append(Content.assemble((cell(code, _BAY), "bold"), row))
    return rows


def _standing(state: "LimitState", chemistry: "BayChemistry", thresholds: "Thresholds") -> tuple[str, str]:
    """Return how the bay stands with a limit, in a word, and how that is drawn."""
    standing = state.standing(thresholds)
    if standing.name == "KEPT":
        return standing.value, ""
    if chemistry.says_nothing(thresholds):
        return TOO_LITTLE, ""
    return standing.upper(), "$error" if standing.name == "BROKEN" else "$warning"
