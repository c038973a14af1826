"""In which order the review lists the pieces, and which of them: sorting and filtering."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from console.drawing.figures import NOT_MEASURED
from console.ground.dates import local_day_and_time, local_time
from console.ground.figures import NO_NAME
from console.ground.mass import mass

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState


class SortBy(StrEnum):
    """What the list is sorted by, in the order in which a key goes through them."""

    TIME = "time"
    BAY = "bay"
    GRADE = "grade"
    STATE = "state"
    DOUBT = "doubt"
    PERSON = "person"
    WEIGHT = "weight"

    @property
    def next(self) -> "SortBy":
        """The one after this; after the last comes the first."""
        order = list(SortBy)
        return order[(order.index(self) + 1) % len(order)]


_DOUBT = {"open": 0, "": 1, "leaning": 2, "settled": 3}
"""Least sure first; a piece that nobody judged stands between open and leaning."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A piece with what the list shows of it, laid out once."""

    piece: "PieceState"
    time: str
    weight: str
    text: str
    """Everything that can be searched, in lower case."""
    is_earlier: bool = False
    """Of an earlier run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """How the list is sorted and what it is narrowed to."""

    sort_by: SortBy = SortBy.TIME
    is_turned: bool = False
    """The other way round."""
    holds_first: bool = False
    """Pieces on hold before all others, those of earlier runs among them."""
    has_before: bool = False
    """The pieces of the run before too."""
    typed: str = ""
    """Only pieces that have every one of these words in some column."""

    def reordered(self, how: str) -> "Order":
        """Return it with the next column to sort by ("sort"), round ("turn"), or holds first ("holds")."""
        if how == "sort":
            return replace(self, sort_by=self.sort_by.next)
        if how == "turn":
            return replace(self, is_turned=not self.is_turned)
        return replace(self, holds_first=not self.holds_first)

    @property
    def words(self) -> str:
        """In words, for the border: "by bay, turned, holds first"."""
        said = [f"by {self.sort_by}"]
        said += ["turned"] if self.is_turned else []
        said += ["holds first"] if self.holds_first else []
        said += ["with the run before"] if self.has_before else []
        return ", ".join(said)


def listed(piece: "PieceState", unit: str, *, is_earlier: bool = False) -> Listed:
    """Return a piece as it is listed."""
    time = (local_day_and_time if is_earlier else local_time)(piece.at_utc)
    weight = mass(piece.mass_g, unit)
    columns = (
        time, weight, piece.bay, piece.grade_label or NO_NAME, piece.sureness, state_word(piece),
        piece.person, piece.line, piece.note, piece.supplier, piece.load, piece.waits_for,
        *(one.said(unit) for one in piece.corrections),
    )  # fmt: skip
    text = "\n".join(columns).casefold()
    return Listed(piece=piece, time=time[-5:], weight=weight, text=text, is_earlier=is_earlier)


def state_word(piece: "PieceState") -> str:
    """Return how a piece stands, in a word."""
    if piece.is_void:
        return "VOID"
    if piece.is_held:
        return f"hold {piece.tag}" if piece.tag else "hold"
    if piece.is_mended:
        return "mended late" if piece.is_corrected_late else "mended"
    return "chosen" if piece.is_override else NOT_MEASURED


def in_order(rows: Iterable[Listed], order: Order) -> list[Listed]:
    """Return the rows that match, in order; equal ones newest first.

    Args:
        rows: In any order.
        order: How to sort, what to narrow to.
    """
    words = order.typed.casefold().split()
    kept = [row for row in rows if not row.is_earlier or order.has_before or _waits(row, order)]
    if words:
        kept = [row for row in kept if all(word in row.text for word in words)]
    kept.sort(key=lambda row: row.piece.seq, reverse=True)
    if order.sort_by is not SortBy.TIME:
        kept.sort(key=_KEYS[order.sort_by])
    if order.is_turned:
        kept.reverse()
    if order.holds_first:
        kept.sort(key=lambda row: (not row.piece.is_held or row.piece.is_void, row.is_earlier))
    return kept


def row_to_keep(before: Sequence[Listed], after: Sequence[Listed], selected: int, order: Order) -> str | None:
    """Return the row_id that the mark stays on; with holds first, the next hold once this one is settled.

    Args:
        before: The rows as they were listed.
        after: As they are listed now.
        selected: Index of the marked row among those before.
        order: As it is now.
    """
    if not before:
        return None
    marked = before[selected].piece
    waiting = {row.piece.row_id for row in after if row.piece.is_held and not row.piece.is_void}
    if order.holds_first and marked.is_held and marked.row_id not in waiting:
        further = [*before[selected + 1 :], *before[:selected][::-1]]
        return next((row.piece.row_id for row in further if row.piece.row_id in waiting), marked.row_id)
    return marked.row_id


def _waits(row: Listed, order: Order) -> bool:
    """Tell whether a piece of an earlier run is listed because it waits on hold, or was just settled."""
    return order.holds_first and (row.piece.is_held or bool(row.piece.corrections))


_KEYS: dict[SortBy, Callable[[Listed], Any]] = {
    SortBy.BAY: lambda row: row.piece.bay,
    SortBy.GRADE: lambda row: (not row.piece.short_name, row.piece.short_name),
    SortBy.STATE: lambda row: _state_rank(row.piece),
    SortBy.DOUBT: lambda row: _DOUBT.get(row.piece.sureness, 1),
    SortBy.PERSON: lambda row: row.piece.person.casefold(),
    SortBy.WEIGHT: lambda row: -row.piece.mass_g,
}


def _state_rank(piece: "PieceState") -> int:
    """Return the place of a piece by its state: hold, chosen bay, mended, as entered, void."""
    if piece.is_void:
        return 4
    if piece.is_held:
        return 0
    if piece.is_override:
        return 1
    return 2 if piece.corrections else 3


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewSums:
    """What the pieces of the run come to."""

    entries: int
    mass_g: int
    held: int
    void: int


def review_sums(rows: Sequence[Listed]) -> ReviewSums:
    """Return the sums over the pieces of the run; those of earlier runs and void ones do not count."""
    entries = mass_g = held = void = 0
    for row in rows:
        if row.is_earlier:
            continue
        if row.piece.is_void:
            void += 1
            continue
        entries += 1
        mass_g += row.piece.mass_g
        held += row.piece.is_held
    return ReviewSums(entries=entries, mass_g=mass_g, held=held, void=void)
