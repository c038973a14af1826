"""The bay of the piece at hand as a melt in the making: its chemistry against the limits of its buyer."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.bay_limits import limit_row
from console.drawing.drawn import DrawnPane, cell
from console.ground.mass import short_mass

if TYPE_CHECKING:
    from console.yard.chemistry.headroom import BayChemistry
    from console.yard.yard import Yard

TITLE, TITLE_OF = " chemistry ", " chemistry of {bay} wt % "
NO_BAY = "The chemistry of the bay follows when the piece has one."
EMPTY = "Nothing lies in {bay} yet."
NO_LIMITS = "Its buyer sets no limits."


class ChemistryPane(DrawnPane):
    """A row a limit, with how much of it is used up; what else the metal is made of below."""

    yard: reactive["Yard | None"] = reactive(None, repaint=False)
    of_bays: reactive[Mapping[str, "BayChemistry"]] = reactive({}, repaint=False)
    """By the code of the bay, those that hold metal."""
    bay: reactive[str] = reactive("", repaint=False)
    """Where the piece at hand goes; empty without one."""

    def draw(self, width: int, height: int) -> list[Content]:
        """Return weight, limits, and the other elements, as many as there is room for."""
        self.border_title = Content(TITLE_OF.format(bay=self.bay) if self.bay else TITLE)
        if self.yard is None or not self.bay:
            return Content.styled(NO_BAY, "$quiet").wrap(width)
        chemistry = self.of_bays.get(self.bay)
        if chemistry is None or not chemistry.composition:
            return [Content.styled(EMPTY.format(bay=self.bay), "$quiet")]
        weight = f"{short_mass(round(chemistry.mass_g), self.yard.weight_unit)} {self.yard.weight_unit}"
        refused = f"{100.0 * chemistry.refused_share:.1f} % may be refused"
        rows = [Content(cell(f"{weight}, {refused}", width))]
        rows += [limit_row(state, chemistry, self.yard.thresholds, width) for state in chemistry.limits]
        if not chemistry.limits:
            rows.append(Content.styled(NO_LIMITS, "$quiet"))
        others = Content.styled(", ".join(chemistry.beside_limits()), "$quiet")
        return [*rows, *others.wrap(width)][:height]
