"""What opens when a tag was typed or scanned on the entry line: a hold, a bale's sheet, a consignment."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.scanned import bare_tag
from console.screens.frames.text_screen import TextScreen
from console.screens.loads.consignments_screen import ConsignmentsScreen
from console.screens.review.resolving import Resolving

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

SHEET_TITLE = "Sheet of the bale"


def open_tagged(screen: "SortingScreen", desk: "Desk", tag: str) -> None:
    """Open what has a tag.

    Raises:
        DeskRefusal: Nothing has it, or its piece waits no more.
    """
    for load in desk.consignments.all():
        if bare_tag(load.tag) == bare_tag(tag):
            screen.app.push_screen(ConsignmentsScreen(desk, load.tag))
            return
    piece = desk.tags.waiting(tag)
    if piece is None:
        screen.app.push_screen(TextScreen(SHEET_TITLE, Content(desk.tags.bale_sheet(tag))))
    else:
        Resolving(screen, desk, screen.acted).begin(piece)
