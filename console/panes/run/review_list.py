"""The pieces of a run as rows; only the rows in sight are ever drawn."""

from collections.abc import Sequence

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from console.drawing.drawn import cell, whole_words
from console.drawing.figures import NOT_MEASURED
from console.drawing.review_order import Listed, SortBy, state_word
from console.ground.figures import NO_NAME

WIDE, BROAD = 100, 140
"""From so many columns on the list has one for the person; from so many it has room for twins."""
MARKS = 2
"""Columns before those of a row: selected, marked."""
_GRADE = {False: 16, True: 40}
"""Columns of the name in a wide list, and in a broad one ..."""
_GRADE_NARROW = 12
"""... and in one that is neither."""
_STATE = 12
"""Columns of the state: "VOID 1234.56" has room."""


class ReviewList(ScrollView, can_focus=True, inherit_bindings=False):
    """A list that scrolls to its selected row."""

    COMPONENT_CLASSES = {
        "review-list--row",
        "review-list--void",
        "review-list--held",
        "review-list--selected",
    }
    selected: reactive[int] = reactive(0)
    """Index of the selected row."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.rows: Sequence[Listed] = ()
        self.sort_by = SortBy.TIME
        self.marked: set[str] = set()
        """row_ids of the pieces that the next act on several is about."""

    @property
    def selected_row(self) -> Listed | None:
        """The row under the mark; None when there is none."""
        return self.rows[self.selected] if self.rows else None

    def show(self, rows: Sequence[Listed], *, keep: str | None = None) -> None:
        """Take new rows.

        Args:
            rows: What to list, in order.
            keep: row_id of the piece that the mark goes to, where it is listed; else it stays in its place.
        """
        self.rows = rows
        self.virtual_size = Size(self.size.width, len(rows))
        place = next((at for at, row in enumerate(rows) if row.piece.row_id == keep), self.selected)
        self.selected = max(0, min(place, len(rows) - 1))
        self.refresh()

    async def _on_key(self, event: events.Key) -> None:
        """Do what a key means before the next one is looked at; hand on what came behind one that gave the
        keys to another widget, such as the letters behind the / of a burst.

        Textual takes a key that is bound on its way up, when those behind it lie in this queue already.
        """
        event.stop()
        event.prevent_default()
        focused = self.screen.focused
        if focused is None or focused is self:
            await self.app._check_bindings(event.key)
        else:
            focused._forward_event(events.Key(event.key, event.character))

    def step(self, by: int) -> None:
        """Move the mark."""
        self.selected = max(0, min(self.selected + by, len(self.rows) - 1))

    def mark(self, row_id: str) -> None:
        """Mark a piece, or take its mark away, and go on to the next row."""
        self.marked ^= {row_id}
        self.refresh()
        self.step(1)

    def watch_selected(self) -> None:
        """Keep the mark in sight."""
        self.scroll_to_region(Region(0, self.selected, 1, 1), animate=False, force=True)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """Return one row in sight."""
        index = y + self.scroll_offset.y
        width = self.size.width
        if index >= len(self.rows):
            return Strip.blank(width, self.rich_style)
        row = self.rows[index]
        is_selected = index == self.selected
        mark = "*" if row.piece.row_id in self.marked else " "
        text = ("▶" if is_selected else " ") + mark + row_text(row, width, self.sort_by)
        return Strip([Segment(cell(text, width), self._row_style(row, is_selected=is_selected))], width)

    def _row_style(self, row: Listed, *, is_selected: bool) -> Style:
        kind = "void" if row.piece.is_void else "held" if row.piece.is_held else "row"
        style = self.get_component_rich_style(f"review-list--{kind}")
        return (
            style + self.get_component_rich_style("review-list--selected", partial=True)
            if is_selected
            else style
        )


def heads(unit: str, width: int, sort_by: SortBy) -> str:
    """Return the heads of the columns."""
    return "  " + _columns(
        ("time", unit, "pcs", "bay", "grade", "how sure", "person", "state"), "as typed", width, sort_by
    )


def row_text(row: Listed, width: int, sort_by: SortBy) -> str:
    """Return one piece as a row of text for so many columns."""
    piece = row.piece
    grade = piece.grade_label or NO_NAME
    cells = (
        "before" if row.is_earlier else row.time,
        NOT_MEASURED if piece.is_void else row.weight,
        NOT_MEASURED if piece.is_void else str(piece.pieces),
        piece.bay,
        # Twins that are cut would read as one grade: their class says as much.
        grade if len(grade) <= _grade_room(width) else piece.class_label,
        piece.sureness or NOT_MEASURED,
        piece.person,
        # Void weight stands apart: what is read off a column adds up.
        f"VOID {row.weight}" if piece.is_void else state_word(piece),
    )
    return _columns(cells, piece.line, width, sort_by)


def _grade_room(width: int) -> int:
    """Return the columns of the name in a list of so many."""
    return _GRADE[width >= BROAD] if width >= WIDE else _GRADE_NARROW


def _columns(cells: tuple[str, ...], line: str, width: int, sort_by: SortBy) -> str:
    time, weight, pieces, bay, grade, sureness, person, state = cells
    said = cell(time, 6) + cell(weight, 9, right=True) + cell(pieces, 5, right=True)
    said += "  " + cell(bay, 4) + " " + whole_words(grade, _grade_room(width)) + " "
    if width >= WIDE:
        said += cell(sureness, 8) + " " + cell(person, 9) + " "
    else:
        # There is no room for both: who sorts by person wants to see the person.
        said += cell(person if sort_by is SortBy.PERSON else sureness, 8) + " "
    # A long tag says by itself that the piece is on hold.
    state = state if len(state) <= _STATE else state.removeprefix("hold ")
    said += cell(state, _STATE) + " "
    return said + whole_words(line, max(0, width - MARKS - len(said)))
