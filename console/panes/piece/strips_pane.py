"""Each element of the selected grade: how it stands, the gap that its limits leave, and what was read."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane, cell
from console.drawing.figures import NOT_MEASURED
from console.drawing.limit_rows import CLEARLY, LimitRow, Stands, limit_rows, most_telling
from console.ground.figures import many, wt_pct

if TYPE_CHECKING:
    from console.drawing.at_rest import AtRest
    from grade_library.reading import Averaged
    from grade_library.verdict import Candidate

MARGIN = 0.35
"""Room on either side of the limits, as a share of their distance."""
VALUE, FAR, UP, DOWN = "●", "✗", "▶", "◀"
FORBIDDEN = "▒"
STYLES = {
    Stands.INSIDE: "$success",
    Stands.AT_EDGE: "bold $warning",
    Stands.OUTSIDE: "bold reverse $error",
    Stands.NOT_NAMED: "$quiet",
    Stands.NOT_READ: "$quiet",
}
TITLE, TITLE_OF = " limits ", " limits of {name} wt % "
NOTHING_SELECTED = "The limits of the selected grade show here."


class StripsPane(DrawnPane):
    """One row an element, its scale its own."""

    candidate: reactive["Candidate | None"] = reactive(None, repaint=False)
    """Whose limits are drawn; None while there is none."""
    readings: reactive[tuple["Averaged", ...]] = reactive((), repaint=False)
    """What was read of the metal, one per technique."""

    at_rest: reactive["AtRest | None"] = reactive(None, repaint=False)
    """What is shown while no grade is selected."""

    def watch_candidate(self) -> None:
        """Name in the border what is shown, and draw it."""
        if self.candidate is not None:
            title = TITLE_OF.format(name=self.candidate.grade.grade_id)
        else:
            title = self.at_rest.title if self.at_rest is not None else TITLE
        self.border_title = Content(title)
        self.redraw()

    watch_at_rest = watch_candidate

    def draw(self, width: int, height: int) -> list[Content]:
        """Return the strips that tell most, and how many there are beside them."""
        if self.candidate is None and self.at_rest is not None:
            return self.at_rest.lines(width, height)
        if self.candidate is None:
            return [Content.styled(NOTHING_SELECTED, "$quiet")]
        rows = limit_rows(self.candidate.grade, self.readings)
        shown = rows if len(rows) <= height else most_telling(rows, height - 1)
        lines = [_strip_row(row, width) for row in shown]
        if len(shown) < len(rows):
            left_out = [row.symbol for row in rows if row not in shown]
            text = f"and {many(len(left_out), 'more', 'more')}: {' '.join(left_out)}"
            lines.append(Content.styled(cell(text, width), "$quiet"))
        return lines


def _strip_row(row: LimitRow, width: int) -> Content:
    stands = row.stands
    style = STYLES[stands]
    room = max(0, width - 8 - 1 - 3 - 7 - 8 - 1 - 11)
    return Content.assemble(
        (stands, style),
        " " * (9 - len(stands)),
        (cell(row.symbol, 3), "bold"),
        *_strip(row, room, style),
        (cell(_value(row), 7, right=True), "bold" if row.value is not None else "$quiet"),
        (cell(f" ±{wt_pct(row.sigma)}" if row.value is not None else "", 8), "$quiet"),
        " ",
        (cell(_limits(row), 11), "$quiet"),
    )


def _value(row: LimitRow) -> str:
    if row.below is not None:
        return f"<{wt_pct(row.below)}"
    return NOT_MEASURED if row.value is None else wt_pct(row.value)


def _limits(row: LimitRow) -> str:
    if not row.is_named:
        return "not named" if row.high >= 100.0 else f"<={row.high:g} each"
    if row.is_rest:
        return f"rest {row.low:.0f}-{row.high:.0f}"
    if row.high >= 100.0:
        return f">={row.low:g}"
    return f"<={row.high:g}" if row.low <= 0.0 else f"{row.low:g}-{row.high:g}"


def _scale(row: LimitRow) -> tuple[float, float]:
    """Return the values [wt %] at the first and the last cell."""
    high = row.high
    if not row.is_named and high >= 100.0:
        high = max(1.0, 1.5 * (row.value or 0.0))
    span = max(high - row.low, 4.0 * row.sigma, 1e-6)
    return max(0.0, row.low - MARGIN * span), min(100.0, high + MARGIN * span)


def _strip(row: LimitRow, width: int, style: str) -> list[tuple[str, str]]:
    """Return the strip as pieces of text with their styles, `width` cells together.

    What the limits forbid is shaded on both sides; the value belongs into the gap between.
    """
    if width < 5:
        return []
    first, last = _scale(row)

    def cell_of(value: float) -> int:
        return round((value - first) / (last - first) * (width - 1))

    cells = [" "] * width
    styles = ["$quiet"] * width
    low, high = max(0, cell_of(row.low)), min(width - 1, cell_of(row.high))
    has_limits = row.is_named or row.high < 100.0
    if has_limits:
        for at in (*range(low), *range(high + 1, width)):
            cells[at] = FORBIDDEN
    seen = row.value if row.value is not None else row.below
    if seen is not None:
        spread = CLEARLY * row.sigma
        for at in range(max(0, cell_of(seen - spread)), min(width - 1, cell_of(seen + spread)) + 1):
            cells[at], styles[at] = "━", style.replace("reverse ", "")
        at, mark = cell_of(seen), FAR if row.stands == Stands.OUTSIDE else VALUE
        if at < 0 or at >= width:
            at, mark = (0, DOWN) if at < 0 else (width - 1, UP)
        cells[at] = DOWN if row.below is not None else mark
        styles[at] = "bold " + style.replace("bold ", "").replace("reverse ", "")
    return list(zip(cells, styles, strict=True))
