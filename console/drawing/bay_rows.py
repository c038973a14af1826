"""How one bay is written in the bay tally: code, name, pieces, weight, headroom, last change, fill."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content

from console.drawing.drawn import cell, whole_words
from console.drawing.figures import NOT_MEASURED, bar
from console.ground.mass import short_mass

if TYPE_CHECKING:
    from console.yard.chemistry.headroom import TightestLimit
    from console.yard.yard import Bay

HEADS = ("bay", "pcs", "limit", "change", "bale")
FULL, EMPTY, NOT_SHOWN = "FULL", "empty", "not shown"
BROKEN, AT_RISK = "OVER", "RISK"
"""The content lies beyond a limit; with its uncertainty it may."""
NEAR = 0.8
"""From this part of a limit on it is worth a second look (own choice)."""
GAP = 2
"""Cells between what the last act changed and how full the bale is: two figures of different things."""
_CODE, _PIECES, _MASS, _LIMIT, _CHANGE, _FILL, _BAR = 4, 4, 9, 8, 11, 5, 6


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRow:
    """One bay as a row of the pane."""

    bay: "Bay"
    pieces: int
    mass_g: int
    """Of the open run [g]."""
    earlier_g: float = 0.0
    """What lies there beside it, of earlier runs; below 0 where more was taken out than lay there [g]."""
    tightest: "TightestLimit | None" = None

    @property
    def lying_g(self) -> float:
        """What lies in the bay now [g]."""
        return max(0.0, self.mass_g + self.earlier_g)


@dataclass(frozen=True, slots=True)
class Columns:
    """Cells of each column that depends on the width; 0 for one that has no room."""

    name: int
    limit: int
    change: int
    fill: int
    bar: int


def columns(width: int) -> Columns:
    """Return the columns for a pane of a width; the name takes what the others leave.

    >>> columns(32), columns(66)
    (Columns(name=14, limit=0, change=0, fill=0, bar=0), Columns(name=17, limit=8, change=11, fill=5, bar=6))
    """
    fill = _FILL if width >= 36 else 0
    limit = _LIMIT if width >= 44 else 0
    change = _CHANGE if width >= 54 else 0
    bar_width = _BAR if width >= 62 else 0
    rest = width - 1 - _CODE - _PIECES - _MASS - fill - limit - change - (bar_width + 1 if bar_width else 0)
    return Columns(name=rest, limit=limit, change=change, fill=fill, bar=bar_width)


def head(width: int, unit: str) -> Content:
    """Return the row of heads."""
    wide, (bay, pieces, limit, last, bale) = columns(width), HEADS
    text = " " + cell(bay, _CODE) + cell("", wide.name) + cell(pieces, _PIECES, right=True)
    text += cell(unit, _MASS, right=True) + cell(limit if wide.limit else "", wide.limit, right=True)
    text += _with_gap(last, wide.change)
    return Content.styled(text + cell(bale if wide.fill else "", wide.fill, right=True), "$quiet")


def _with_gap(text: str, width: int) -> str:
    """Return a cell that stands apart from the next one; empty where it has no room."""
    return cell(text, width - GAP, right=True) + " " * GAP if width else ""


def row_of(row: BayRow, width: int, unit: str, *, is_suggested: bool, change_g: int | None) -> Content:
    """Return one bay.

    Args:
        row: The bay.
        width: Cells of the pane.
        unit: In which weights are written.
        is_suggested: The piece at hand goes there.
        change_g: By how much the last act changed it [g]; None for a bay that it left alone.
    """
    wide = columns(width)
    mark = "▶" if is_suggested else " " if change_g is None else "-" if change_g < 0 else "+"
    style = "bold reverse" if is_suggested else "bold" if row.pieces else ""
    quiet = "" if row.pieces or is_suggested else "$quiet"
    parts: list[Content | tuple[str, str]] = [
        (mark, "bold"),
        (cell(row.bay.code, _CODE), style or quiet),
        (whole_words(row.bay.name, wide.name), quiet),
        (cell(str(row.pieces) if row.pieces else NOT_MEASURED, _PIECES, right=True), quiet),
        (cell(short_mass(row.mass_g, unit) if row.pieces else NOT_MEASURED, _MASS, right=True), quiet),
    ]
    if wide.limit:
        parts += _limit(row, wide.limit)
    if wide.change:
        shown = f"{'+' if change_g > 0 else '-'}{short_mass(abs(change_g), unit)}" if change_g else ""
        style = "$success" if change_g and change_g > 0 else "$warning"
        parts.append((_with_gap(shown, wide.change), style))
    return Content.assemble(*parts, *(_fill(row, wide.bar, quiet) if wide.fill else ()))


def word_of(limit: "TightestLimit") -> str:
    """Return where a bay stands with a limit: OVER, RISK, or how much of it is used up.

    >>> from console.yard.chemistry.headroom import TightestLimit
    >>> word_of(TightestLimit(symbol="Cu", used=0.998, is_broken=False))
    '99 %'
    """
    if limit.is_broken or math.isinf(limit.used):
        return BROKEN
    return AT_RISK if limit.is_at_risk else f"{min(99, round(100.0 * limit.used))} %"


def _limit(row: BayRow, width: int) -> list[tuple[str, str]]:
    limit = row.tightest
    if limit is None:
        return [(cell(NOT_MEASURED, width, right=True), "$quiet")]
    text = f"{limit.symbol} {word_of(limit)}"
    if limit.is_broken:
        style = "bold reverse $error"
    else:
        style = "bold $warning" if limit.is_at_risk else "" if limit.used >= NEAR else "$quiet"
    return [(" " * max(0, width - len(text)), ""), (text, style)]


def _fill(row: BayRow, bar_width: int, quiet: str) -> list[tuple[str, str]]:
    if row.bay.bale_g is None:
        return [(cell(NOT_MEASURED, _FILL, right=True), "$quiet")]
    share = row.lying_g / row.bay.bale_g
    fill = FULL if share >= 1 else f"{share:.0%}" if share > 0 else NOT_MEASURED
    parts = [(cell(fill, _FILL, right=True), "bold $warning" if share >= 1 else quiet)]
    if bar_width:
        full, rest = bar(share, bar_width)
        parts += [(" " + full, "$primary"), (rest, "$bar-rest")]
    return parts


def left_out_row(rows: Sequence[BayRow], width: int) -> Content:
    """Return the last row: which bays there is no room for."""
    word = EMPTY if not any(row.pieces for row in rows) else NOT_SHOWN
    text = f" {len(rows)} more {word}:"
    for place, row in enumerate(rows, start=1):
        left = len(rows) - place
        if len(text) + 1 + len(row.bay.code) + (len(f" +{left}") if left else 0) > width:
            text += f" +{left + 1}"
            break
        text += f" {row.bay.code}"
    return Content.styled(cell(text, width), "$quiet")
