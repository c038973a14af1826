"""How a tallied piece is written in one row: of the last pieces, and of those on hold."""

from typing import TYPE_CHECKING

from textual.content import Content

from console.drawing.drawn import cell, whole_words
from console.drawing.figures import NOT_MEASURED
from console.ground.dates import local_time
from console.ground.figures import NO_NAME
from console.ground.mass import short_mass

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState

VOID, TAG = "VOID", "tag {tag}"
WIDE, BROAD = 50, 76
"""From so many cells on a row tells the time and the line; and how sure it was, too."""
_TIME, _MASS, _BAY, _NAME, _SURE = 6, 9, 5, 12, 9


def piece_row(piece: "PieceState", width: int, unit: str) -> Content:
    """Return time, weight, bay, name, how sure, and the line as it was typed: as much as has room."""
    struck = "strike" if piece.is_void else ""
    time = _TIME if width >= WIDE else 0
    sure = _SURE if width >= BROAD or not time else 0
    name = _NAME if time else max(0, width - _MASS - _BAY - sure)
    word = _word(piece)
    parts: list[Content | tuple[str, str]] = [
        (cell(local_time(piece.at_utc) if time else "", time), "$quiet"),
        (cell(short_mass(piece.mass_g, unit), _MASS - 1, right=True) + " ", struck),
        (cell(piece.bay, _BAY), "bold"),
        (whole_words(piece.short_name or NO_NAME, max(0, name - 1)) + " ", struck),
    ]
    if sure:
        told = (word, "bold $warning") if word else (piece.sureness or NOT_MEASURED, "$quiet")
        parts.append((cell(told[0], sure), told[1]))
    elif word:
        parts.append((word + " ", "bold $warning"))
    row = Content.assemble(*parts)
    return row + Content.styled(
        whole_words(piece.line if time else "", max(0, width - row.cell_length)), "$quiet"
    )


def held_row(piece: "PieceState", width: int, unit: str) -> Content:
    """Return tag, weight, what a piece on hold waits for, and its line."""
    tag = cell(piece.tag or piece.bay, max(7, len(piece.tag or "") + 1))
    head = Content.assemble(
        (tag, "bold $warning"), cell(short_mass(piece.mass_g, unit), _MASS - 1, right=True) + " "
    )
    is_said = not piece.waits_for or piece.waits_for in piece.line
    said = piece.line if is_said else f"{piece.waits_for}; {piece.line}"
    return head + Content.styled(whole_words(said, max(0, width - head.cell_length)), "$quiet")


def _word(piece: "PieceState") -> str:
    """Return what is to be said of a piece before all else; empty for one that lies where it should."""
    if piece.is_void:
        return VOID
    return TAG.format(tag=piece.tag) if piece.is_held and piece.tag else ""
