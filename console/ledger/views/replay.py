"""The one replay: what the rows of the ledger come to, correction by correction.

Every view of the ledger, a piece on the review screen or the stock of a year, is a few lines over it.
"""

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from console.ledger.rows.correction import Correction
from console.ledger.rows.mark import Mark
from console.ledger.rows.rows import Row, RowKind

UNDO_REASON = "undo at the desk"
REDO_REASON = "redo at the desk"
"""Reasons by which the rows of undo and redo are known again."""
CORRECTING = frozenset(
    {RowKind.VOID, RowKind.UNVOID, RowKind.MOVE, RowKind.REWEIGH, RowKind.RESOLVE, RowKind.LOAD}
)
CORRECTIONS = f"kind IN {tuple(sorted(map(str, CORRECTING)))}"
"""SQL that is true of the rows that correct another one."""
_TAKES_BACK = {
    RowKind.VOID: RowKind.UNVOID,
    RowKind.UNVOID: RowKind.VOID,
    RowKind.MOVE: RowKind.MOVE,
    RowKind.RESOLVE: RowKind.MOVE,
    RowKind.REWEIGH: RowKind.REWEIGH,
    RowKind.LOAD: RowKind.LOAD,
}
"""Kind of a correction -> kind of the row that undoes it."""

AnyRow = Row | Mark


@dataclass(slots=True)
class Standing:
    """A row that can be corrected, as it stands after the corrections so far."""

    entered: AnyRow
    """Its own row."""
    bay: str
    grade_id: str | None
    mass_g: int
    """[g]"""
    pieces: int
    tag: str | None
    is_held: bool
    since: int
    """seq of the row that brought it where it is."""
    is_void: bool = False
    is_taken_back: bool = False
    """The sorter undid the entry itself."""
    told: tuple[Correction, ...] = ()
    """The corrections that count, oldest first: without what was undone; every row stays in the ledger."""
    _undone: tuple[Correction, ...] = ()
    supplier: str = ""
    load: str = ""
    """Whose load it belongs to; empty in the sums of a store, which read no piece's words."""

    @classmethod
    def of(cls, row: AnyRow) -> "Standing":
        """Return a row as it was entered."""
        return cls(
            row,
            row.bay or "",
            row.grade_id,
            row.mass_g or 0,
            row.pieces or 0,
            row.tag,
            row.tag is not None,
            row.seq,
            supplier=str(row.body.get("supplier", "")),
            load=str(row.body.get("load", "")),
        )

    @property
    def naming(self) -> AnyRow:
        """The row that named it: the one that resolved it, unless that was taken back, else its own."""
        return self._last_told((RowKind.RESOLVE,))

    @property
    def brought(self) -> AnyRow:
        """The row that brought it where it lies: its own, or the last move or resolve that counts."""
        return self._last_told((RowKind.MOVE, RowKind.RESOLVE))

    def _last_told(self, kinds: tuple[RowKind, ...]) -> AnyRow:
        for one in reversed(self.told):
            if one.row.kind in kinds:
                return one.row
        return self.entered

    @property
    def is_late(self) -> bool:
        """Something was corrected after the run was closed, and not taken back."""
        return bool(self.told) and any(one.is_late for one in self.told)

    @property
    def lies(self) -> tuple[str, int] | None:
        """Its bay and its mass [g] where it stands, None where it is void."""
        return None if self.is_void else (self.bay, self.mass_g)

    def correct(self, row: AnyRow) -> None:
        """Bring it up to date with the next correction."""
        self._tell(Correction(row=row, was_bay=self.bay, was_g=self.mass_g, was_pieces=self.pieces))
        match row.kind:
            case RowKind.VOID:
                self.is_void = True
            case RowKind.UNVOID:
                self.is_void = False
            case RowKind.MOVE:
                self.bay, self.since, self.is_held = row.bay or self.bay, row.seq, row.tag is not None
                self.tag = row.tag or self.tag
                # Where a resolved hold is held again, or let go again, its name goes with it; empty for none.
                if row.grade_id is not None:
                    self.grade_id = row.grade_id or None
            case RowKind.RESOLVE:
                self.bay, self.since, self.is_held = row.bay or self.bay, row.seq, False
                self.grade_id = row.grade_id
            case RowKind.REWEIGH:
                self.mass_g, self.pieces = row.mass_g or self.mass_g, row.pieces or self.pieces
            case RowKind.LOAD:
                self.supplier, self.load = str(row.body["supplier"]), str(row.body["load"])

    def _tell(self, one: Correction) -> None:
        """Take a correction into what is told, or what it undoes out of it."""
        kind, reason = one.row.kind, one.row.body.get("reason")
        if reason == UNDO_REASON and self.told and _TAKES_BACK[RowKind(self.told[-1].row.kind)] == kind:
            self.told, self._undone = self.told[:-1], (*self._undone, self.told[-1])
        elif reason == UNDO_REASON and kind == RowKind.VOID:
            self.is_taken_back = True
        elif reason == REDO_REASON and self._undone and _does_again(one.row, self._undone[-1].row):
            self.told, self._undone = (*self.told, self._undone[-1]), self._undone[:-1]
        elif reason == REDO_REASON and kind == RowKind.UNVOID and self.is_taken_back:
            self.is_taken_back = False
        else:
            self.told = (*self.told, one)


def _does_again(row: AnyRow, undone: AnyRow) -> bool:
    """Tell whether a row of redo does an undone correction again; a resolved hold is moved there again."""
    return row.kind == undone.kind or (row.kind == RowKind.MOVE and undone.kind == RowKind.RESOLVE)


class Change(NamedTuple):
    """What one row did to what stands."""

    row: AnyRow
    standing: Standing
    """The row that was entered or corrected, after it."""
    was: tuple[str, int] | None
    """Where it lay before and its mass [g]; None where it was not there, or void."""


def replay(rows: Iterable[AnyRow], stands: dict[str, Standing] | None = None) -> Iterator[Change]:
    """Yield what each row does to what stands; corrections of rows that are not among them are passed over.

    Args:
        rows: Oldest first.
        stands: What stood before them, by row_id; brought up to date.
    """
    stands = {} if stands is None else stands
    for row in rows:
        if row.kind not in CORRECTING:
            standing = stands[row.row_id] = Standing.of(row)
            yield Change(row, standing, None)
        elif (corrected := stands.get(str(row.refers))) is not None:
            was = corrected.lies
            corrected.correct(row)
            yield Change(row, corrected, was)


def stand_after(rows: Iterable[AnyRow]) -> dict[str, Standing]:
    """Return what stands after rows, oldest first, by row_id in order of entry; void ones too."""
    stands: dict[str, Standing] = {}
    deque(replay(rows, stands), maxlen=0)
    return stands
