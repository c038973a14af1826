"""The bay of the piece at hand as a melt in the making: its chemistry against the limits of its buyer."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane, cell
from console.drawing.figures import bar
from console.ground.figures import with_sigma
from console.ground.mass import short_mass

if TYPE_CHECKING:
    from console.yard.chemistry.headroom import BayChemistry, LimitState
    from console.yard.yard import Thresholds, Yard

TITLE, TITLE_OF = " chemistry ", " chemistry of {bay} wt % "
NO_BAY = "The chemistry of the bay follows when the piece has one."
EMPTY = "Nothing lies in {bay} yet."
NO_LIMITS = "Its buyer sets no limits."
TOO_LITTLE = "too little"
_LIMIT, _CONTENT, _WORD = 12, 15, 11


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
        rows += [_limit(state, chemistry, self.yard.thresholds, width) for state in chemistry.limits]
        if not chemistry.limits:
            rows.append(Content.styled(NO_LIMITS, "$quiet"))
        others = Content.styled(", ".join(chemistry.beside_limits()), "$quiet")
        return [*rows, *others.wrap(width)][:height]


def _limit(state: "LimitState", chemistry: "BayChemistry", thresholds: "Thresholds", width: int) -> Content:
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


def _standing(state: "LimitState", chemistry: "BayChemistry", thresholds: "Thresholds") -> tuple[str, str]:
    """Return how the bay stands with a limit, in a word, and how that is drawn."""
    standing = state.standing(thresholds)
    if standing.name == "KEPT":
        return standing.value, ""
    if chemistry.says_nothing(thresholds):
        return TOO_LITTLE, ""
    return standing.upper(), "$error" if standing.name == "BROKEN" else "$warning"
