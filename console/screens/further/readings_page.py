"""What waits in the folder for readings, and what could not be read there, on one page."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.ground.cleaning import clean
from console.screens.frames.text_screen import TextScreen
from console.screens.sorting import words

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

TITLE = "Readings from files"
NONE = "none"


def opened(desk: "Desk", _: "SortingScreen") -> TextScreen:
    """Return the page as things stand now."""
    return TextScreen(TITLE, Content("\n").join(_lines(desk)))


def _lines(desk: "Desk") -> list[Content]:
    watch = desk.readings.watch
    if watch is None:
        return [Content(words.NO_READINGS_FOLDER)]
    waiting = [
        f"{one[0].piece}  {desk.readings.text(one)}  ({clean(one[0].file)}, line {one[0].line})"
        for one in (desk.readings.on_line, *desk.readings.waiting())
        if one
    ]
    findings = [f"{one.file}: {one.text}" for one in watch.findings]
    unread = [f"{clean(file)}: {why}" for file, why in watch.last.waiting]
    state = watch.last.trouble or f"Looked into all the time: {watch.folder}"
    return [
        Content(clean(state)),
        *_part("Readings that wait, the next one first", waiting),
        *_part("Files not read to their end yet", unread),
        *_part("Found out since the console was started", findings),
    ]


def _part(head: str, rows: list[str]) -> list[Content]:
    shown = [Content(row) for row in rows] or [Content.styled(NONE, "$quiet")]
    return [Content.assemble("\n", (head, "bold $primary")), *shown]
