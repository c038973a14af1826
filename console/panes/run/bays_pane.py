"""What lies in each bay of the open run."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.bay_rows import BayRow, columns, head, left_out_row, row_of
from console.drawing.bay_sums import bays_gone, fit, furthest_over, rows_of
from console.drawing.drawn import DrawnPane, cell
from console.ground.mass import short_mass

if TYPE_CHECKING:
    from console.ledger.rows.rows import Tally
    from console.yard.chemistry.headroom import TightestLimit
    from console.yard.yard import Yard

TITLE = "Bays"
FEW_ROWS = 4
"""In so few the bay where the piece goes comes before what is on hold, and before the heads."""
OPENING = "Opening the yard."
ON_HOLD = "{count} on hold"
GONE = " not in yard.toml: {bays}"


class BaysPane(DrawnPane):
    """Code, name, pieces, weight and fill of every bay, with marks for the next and the last piece."""

    yard: reactive["Yard | None"] = reactive(None, repaint=False)
    tally: reactive["Tally | None"] = reactive(None, repaint=False)
    suggested: reactive[str] = reactive("", repaint=False)
    """Code of the bay the piece at hand goes to."""
    last: reactive[str] = reactive("", repaint=False)
    """Code of the bay that changed last."""
    change_g: reactive[int] = reactive(0, repaint=False)
    """By how much it changed with the last act [g]."""
    tightest: reactive[Mapping[str, "TightestLimit"]] = reactive({}, repaint=False)
    """Code of a bay -> the limit of its buyer that gives out first."""
    earlier_g: reactive[Mapping[str, float]] = reactive({}, repaint=False)
    """Code of a bay -> what lies there beside the metal of the open run [g]."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._border: tuple[str, list[str]] = ("", [])
        self._rows_of: tuple[object, ...] = (None,) * 4
        self._rows: list[BayRow] = []
        """Worked out once for as long as the sums stand."""
        self._line_by_bay: dict[tuple[str, bool], tuple[tuple[object, ...], Content]] = {}

    def redraw(self) -> None:
        """Draw again; tell in the border what there is no room for."""
        self._name_border()
        super().redraw()

    def draw(self, width: int, height: int) -> list[Content]:
        """Return a head and one row a bay; empty bays share the last row where there is no room for all."""
        if self.yard is None or self.tally is None:
            return [Content.styled(OPENING, "$quiet")]
        unit, gone = self.yard.weight_unit, bays_gone(self.yard, self.tally)
        sums = (self.yard, self.tally, self.earlier_g, self.tightest)
        if any(one is not other for one, other in zip(sums, self._rows_of, strict=True)):
            self._rows_of, self._rows = sums, rows_of(*sums)
        # The lower border is out of sight beneath the warnings; what it says goes into a row.
        below = self._border[1] if self.covered and height > FEW_ROWS else []
        heads = [head(width, unit)] if height >= FEW_ROWS else []
        room = height - len(heads) - bool(gone) - bool(below)
        shown, left_out = fit(self._rows, room, wanted=(self.suggested, self.last))
        lines = heads
        lines += [self._line_of(row, width, unit) for row in shown]
        if left_out:
            lines.append(left_out_row(left_out, width))
        if gone:
            lines.append(Content.styled(cell(GONE.format(bays=", ".join(gone)), width), "bold $warning"))
        if below:
            lines.append(Content.styled(cell(" " + ", ".join(below), width), "bold"))
        return lines

    def _line_of(self, row: BayRow, width: int, unit: str) -> Content:
        """Return the row of a bay; drawn once for as long as it says the same."""
        is_suggested = row.bay.code == self.suggested
        change_g = self.change_g if row.bay.code == self.last else None
        says = (row, width, unit, is_suggested, change_g)
        before = self._line_by_bay.get((row.bay.code, is_suggested))
        if before is None or before[0] != says:
            line = row_of(row, width, unit, is_suggested=is_suggested, change_g=change_g)
            before = self._line_by_bay[row.bay.code, is_suggested] = (says, line)
        return before[1]

    def _name_border(self) -> None:
        """Tell in the border what the rows have no room for: the last change, holds, a broken limit."""
        wide = columns(self.size.width)
        title, below = TITLE, []
        if self.yard is not None and self.tally is not None:
            if self.last and self.change_g and not wide.change:
                sign = "+" if self.change_g > 0 else "-"
                title += f"  {self.last} {sign}{short_mass(abs(self.change_g), self.yard.weight_unit)}"
            if holds := len(self.tally.holds):
                below.append(ON_HOLD.format(count=holds))
            if not wide.limit and (over := furthest_over(self.tightest)):
                below.append(over)
        if (title, below) != self._border:
            self._border = (title, below)
            self.border_title, self.border_subtitle = Content(title), Content(", ".join(below))
