"""What the tolerance of a close-out is made of, load by load."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.mass import format_mass
from console.screens.frames.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk
    from console.ledger.acts.closeout import Difference

TITLE = "Difference and tolerance, load by load"
HOW = (
    "The tolerance is twice the root of the summed squares of the standard uncertainties below: about 95 in "
    "100 honest runs lie inside. A bench scale that reads wrong all shift long is not in it; finding that is "
    "what the comparison is for."
)


def tolerance_page(desk: "Desk") -> TextScreen:
    """Return the page."""
    unit = desk.yard.weight_unit
    lines: list[Content] = []
    loads = desk.closing.loads()
    if len(loads) > 1:
        for one in loads:
            name = f"{one.supplier} {one.load}".strip() or "no load named"
            lines += [*_part_lines(name, one.difference, unit), Content("")]
    lines += [*_part_lines("the whole run", desk.closing.difference(), unit), Content("")]
    return TextScreen(TITLE, Content("\n").join([*lines, Content(HOW)]), opened_by="close-out-parts")


def _part_lines(name: str, gap: "Difference", unit: str) -> list[Content]:
    if not gap.has_ticket:
        how = "no ticket"
    else:
        how = "inside" if gap.is_inside else "OUTSIDE"
    off, allowed = format_mass(gap.difference_g, unit), format_mass(gap.tolerance_g, unit)
    lines = [
        Content.styled(f"{name}: {off}, tolerance ±{allowed}, {how}", "bold"),
        Content(f"  net {format_mass(gap.net_g, unit)}, tally {format_mass(gap.tally_g, unit)}"),
    ]
    for part in gap.parts:
        lines.append(Content(f"  ±{part.standard_g / 1000.0:8.3f} kg  {part.cause}"))
        lines.append(Content.styled(f"               {part.source}", "$quiet"))
    return lines
