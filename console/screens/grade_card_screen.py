"""The card of one grade: all that the library knows of it, with its sources."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.screens.text_screen import TextScreen

if TYPE_CHECKING:
    from grade_library.library import GradeLibrary
    from grade_library.verdict import Candidate

TITLE = "Grade card: {name}"
NO_TITLE = "Grade card"
NO_GRADE = "No grade is selected. Type something of a piece first; Up and Down select a candidate."


def grade_card(candidate: "Candidate | None", library: "GradeLibrary", width: int) -> TextScreen:
    """Return the card of the selected candidate, drawn for a screen of so many columns."""
    if candidate is None:
        return TextScreen(NO_TITLE, Content(NO_GRADE), opened_by="grade-card")
    from grade_library.card import card_text
    from grade_library.naming.material_card import material_card

    grade = candidate.grade
    material = library.material(grade.grade_id)
    text = card_text(grade, library, width) if material is None else material_card(material, library, width)
    return TextScreen(TITLE.format(name=grade.grade_id), Content(text), opened_by="grade-card")
