"""The card of one grade: all that the library knows of it, with its sources."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.drawing.plain_marks import draws_plain
from console.screens.frames.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

TITLE = "Grade card: {name}"
NO_TITLE = "Grade card"
MARGIN = 2
NO_GRADE = "No grade is selected. Type something of a piece first; Up and Down select a candidate."


def opened(desk: "Desk", sorting: "SortingScreen") -> TextScreen:
    """Return the card of the selected candidate."""
    candidate, width = sorting.panes.candidates.selected_candidate, sorting.app.size.width - MARGIN
    if candidate is None:
        return TextScreen(NO_TITLE, Content(NO_GRADE), opened_by="grade-card")
    from grade_library.card import card_text
    from grade_library.naming.material_card import material_card

    grade = candidate.grade
    material = desk.library.dictionary.material(grade.grade_id)
    if material is None:
        text = card_text(grade, desk.library, width, is_ascii=draws_plain(sorting.app))
    else:
        text = material_card(material, desk.library, width)
    return TextScreen(
        TITLE.format(name=grade.grade_id),
        Content(text),
        opened_by="grade-card",
    )
