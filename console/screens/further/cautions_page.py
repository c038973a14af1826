"""The cautions that stand with a piece, in full and with their sources."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.panes.piece.warnings_pane import head_of
from console.screens.frames.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

TITLE = "Cautions for the piece at hand"
NONE_STAND = "No caution stands with what is on the line. That does not mean that the piece is safe."
NO_NUMBER = "This yard has no emergency number yet: add emergency_number to yard.toml."


def opened(desk: "Desk", sorting: "SortingScreen") -> TextScreen:
    """Return the page."""
    from grade_library.cautions import DEFERRAL

    lines = []
    for caution in sorting.at_hand().cautions:
        lines += [
            head_of(caution),
            Content(caution.say),
            Content.styled(f"Source: {caution.source}", "$quiet"),
            Content(""),
        ]
    if not lines:
        lines = [Content(NONE_STAND), Content("")]
    called = desk.yard.emergency_number
    number = f"Emergency number of this yard: {called}" if called else NO_NUMBER
    return TextScreen(
        TITLE,
        Content("\n").join([*lines, Content(DEFERRAL), Content.styled(number, "bold")]),
        opened_by="cautions",
    )
