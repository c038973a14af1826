"""The handover to read: of the run so far, or of the one just closed."""

from pathlib import Path
from typing import TYPE_CHECKING

from textual.content import Content

from console.screens.frames.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

SO_FAR = "Handover of the run so far"
CLOSED = "Run closed: {name}. Esc begins the next run"


def opened(desk: "Desk", _: "SortingScreen") -> TextScreen:
    """Return the handover as it would be written now."""
    return TextScreen(SO_FAR, Content(desk.closing.handover_so_far()), opened_by="handover")


def handover_of_closed_run(file: Path) -> TextScreen:
    """Return the handover that was just written."""
    return TextScreen(CLOSED.format(name=file.name), Content(file.read_text(encoding="utf-8")))
