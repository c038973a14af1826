"""What the run came to, bay by bay, on one page: pieces, weight, worth."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.screens.frames.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk

TITLE = "Totals of run {run}, bay by bay"
WIDTH = 80
"""Columns, so that the page is whole on the smallest screen."""


def totals_page(desk: "Desk") -> TextScreen:
    """Return the page."""
    title = TITLE.format(run=desk.run().run_id)
    return TextScreen(title, Content(desk.closing.totals(WIDTH).rstrip()), opened_by="close-out-totals")
