"""The cautions that stand with a piece, in full and with their sources."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.panes.piece.warnings_pane import LEVEL_STYLES
from console.screens.frames.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen
    from console.yard.yard import Yard
    from grade_library.cautions import Caution

TITLE = "Cautions for the piece at hand"
NONE_STAND = "No caution stands with what is on the line. That does not mean that the piece is safe."
NO_NUMBER = "This yard has no emergency number yet: add emergency_number to yard.toml."


def opened(desk: "Desk", sorting: "SortingScreen") -> TextScreen:
    """Return the page."""
    return cautions_page(sorting.at_hand().cautions, desk.yard)


def cautions_page(cautions: "tuple[Caution, ...]", yard: "Yard") -> TextScreen:
    """Return the page of some cautions."""
    from grade_library.cautions import DEFERRAL

    lines = []
    for caution in cautions:
        level = str(caution.level).upper()
        lines += [
            Content.assemble((f" {level} ", LEVEL_STYLES.get(level, "bold")), (f" {caution.title}", "bold")),
            Content(caution.say),
            Content.styled(f"Source: {caution.source}", "$quiet"),
            Content(""),
        ]
    if not lines:
        lines = [Content(NONE_STAND), Content("")]
    number = f"Emergency number of this yard: {yard.emergency_number}" if yard.emergency_number else NO_NUMBER
    return TextScreen(
        TITLE,
        Content("\n").join([*lines, Content(DEFERRAL), Content.styled(number, "bold")]),
        opened_by="cautions",
    )
