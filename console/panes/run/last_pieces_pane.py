"""The pieces tallied last, newest first."""

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive

from console.drawing.at_rest import NONE_YET
from console.drawing.drawn import DrawnPane
from console.drawing.piece_rows import piece_row

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState
    from console.yard.yard import Yard

TITLE = "Last pieces"


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
        return [piece_row(piece, width, self.yard.weight_unit) for piece in self.pieces[:height]]
