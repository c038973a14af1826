"""The pieces tallied last, newest first."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.drawn import DrawnPane, cell
from console.ground.dates import local_time
from console.ground.mass import short_mass

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState
    from console.yard.yard import Yard

TITLE = "Last pieces"
VOID, TAG, UNNAMED = "VOID ", "tag {tag} ", "unnamed"
NONE_YET = "No piece is tallied yet in this run."


class LastPiecesPane(DrawnPane):
    """Time, weight, bay, name and line of each; the line says the count."""

    yard: reactive["Yard | None"] = reactive(None, repaint=False)
    pieces: reactive[tuple["PieceState", ...]] = reactive((), repaint=False)
    """Newest first; as many as are worth showing."""

    def on_mount(self) -> None:
        """Name the pane."""
        self.border_title = TITLE

    def draw(self, width: int, height: int) -> list[Content]:
        """Return one row a piece."""
        if self.yard is None:
            return []
        if not self.pieces:
            return [Content.styled(NONE_YET, "$quiet")]
        return [_row(piece, width, self.yard.weight_unit) for piece in self.pieces[:height]]


def _row(piece: "PieceState", width: int, unit: str) -> Content:
    style = "strike" if piece.is_void else ""
    word = VOID if piece.is_void else TAG.format(tag=piece.tag) if piece.is_held and piece.tag else ""
    room = max(0, width - 6 - 9 - 5 - 1 - 11)
    return Content.assemble(
        (local_time(piece.at_utc) + " ", "$quiet"),
        (cell(short_mass(piece.mass_g, unit), 8, right=True) + " ", style),
        (cell(piece.bay, 5), "bold"),
        (cell(piece.short_name or UNNAMED, 11) + " ", style),
        (word, "bold $warning"),
        (cell(piece.line, max(0, room - len(word))), "$quiet"),
    )
