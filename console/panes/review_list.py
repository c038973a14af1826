"""Every piece of a run, newest first; only the rows in sight are ever drawn."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from console.panes.drawn import cell
from console.panes.figures import NOT_MEASURED, local_time, mass

if TYPE_CHECKING:
    from console.ledger.rows import PieceState

WIDTHS = {"time": 6, "weight": 9, "pieces": 5, "bay": 5, "grade": 13, "sureness": 9, "state": 9}
"""Columns before the line as typed, which takes the rest [cells]."""


class ReviewList(ScrollView, can_focus=True, inherit_bindings=False):
    """A list that scrolls to its selected row."""

    COMPONENT_CLASSES = {
        "review-list--row",
        "review-list--void",
        "review-list--held",
        "review-list--selected",
    }
    selected: reactive[int] = reactive(0)
    """Index of the selected piece."""

    def __init__(self, *, unit: str, id: str | None = None) -> None:
        super().__init__(id=id)
        self.pieces: Sequence[PieceState] = ()
        self._unit = unit

    @property
    def selected_piece(self) -> "PieceState | None":
        """The piece under the mark; None when there is none."""
        return self.pieces[self.selected] if self.pieces else None

    def show(self, pieces: "Sequence[PieceState]") -> None:
        """Take new rows; the mark stays where it was."""
        self.pieces = pieces
        self.virtual_size = Size(self.size.width, len(pieces))
        self.selected = max(0, min(self.selected, len(pieces) - 1))
        self.refresh()

    def step(self, by: int) -> None:
        """Move the mark."""
        self.selected = max(0, min(self.selected + by, len(self.pieces) - 1))

    def watch_selected(self) -> None:
        """Keep the mark in sight."""
        self.scroll_to_region(Region(0, self.selected, 1, 1), animate=False, force=True)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one row in sight."""
        index = y + self.scroll_offset.y
        width = self.size.width
        if index >= len(self.pieces):
            return Strip.blank(width, self.rich_style)
        piece = self.pieces[index]
        is_selected = index == self.selected
        text = ("▶ " if is_selected else "  ") + row_text(piece, self._unit)
        return Strip([Segment(cell(text, width), self._row_style(piece, is_selected=is_selected))], width)

    def _row_style(self, piece: "PieceState", *, is_selected: bool) -> Style:
        kind = "void" if piece.is_void else "held" if piece.is_held else "row"
        style = self.get_component_rich_style(f"review-list--{kind}")
        return (
            style + self.get_component_rich_style("review-list--selected", partial=True)
            if is_selected
            else style
        )


def heads(unit: str) -> str:
    """Return the heads of the columns."""
    return "  " + _columns("time", unit, "pcs", "bay", "grade", "placed", "state") + "line as typed"


def row_text(piece: "PieceState", unit: str) -> str:
    """Return one piece as a row of text."""
    return (
        _columns(
            local_time(piece.at_utc),
            mass(piece.mass_g, unit),
            str(piece.pieces),
            piece.bay,
            piece.grade_id or "unnamed",
            piece.sureness or NOT_MEASURED,
            state_word(piece),
        )
        + piece.line
    )


def state_word(piece: "PieceState") -> str:
    """Return how a piece stands, in a word."""
    if piece.is_void:
        return "VOID"
    if piece.is_held:
        return f"hold {piece.tag}" if piece.tag else "hold"
    if piece.corrections:
        return "mended"
    return "own bay" if piece.is_override else NOT_MEASURED


def _columns(time: str, weight: str, pieces: str, bay: str, grade: str, sureness: str, state: str) -> str:
    return (
        cell(time, WIDTHS["time"])
        + cell(weight, WIDTHS["weight"], right=True)
        + cell(pieces, WIDTHS["pieces"], right=True)
        + "  "
        + cell(bay, WIDTHS["bay"])
        + cell(grade, WIDTHS["grade"] - 1)
        + " "
        + cell(sureness, WIDTHS["sureness"])
        + cell(state, WIDTHS["state"])
        + " "
    )
