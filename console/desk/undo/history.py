"""Undo and redo: which act comes next, and the row that takes it back."""

from array import array
from collections.abc import Callable, Iterable

from console.desk.refusals import DeskRefusal
from console.ledger.consignments.standing import is_fixed_by_seal
from console.ledger.keeping.store import Ledger
from console.ledger.rows.lot_rows import lot_before
from console.ledger.rows.queries import row_by_id, rows_where
from console.ledger.rows.rows import Row, RowKind
from console.ledger.views.piece_state import corrections_of
from console.ledger.views.replay import REDO_REASON, UNDO_REASON, Standing, stand_after

_PLAIN = (
    RowKind.PIECE,
    RowKind.NOTE,
    RowKind.TICKET,
    RowKind.DRAW_DOWN,
    RowKind.CHECK,
    RowKind.RECHECK,
    RowKind.CONSIGNMENT,
)
_UNDOABLE = (
    *_PLAIN,
    RowKind.LOT,
    RowKind.VOID,
    RowKind.UNVOID,
    RowKind.MOVE,
    RowKind.REWEIGH,
    RowKind.RESOLVE,
    RowKind.LOAD,
    RowKind.FROM_HERE,
)


class History:
    """The acts of one run that can be taken back, newest last, by their numbers: the store has the rest."""

    def __init__(self, rows: Iterable[Row], load: Callable[[int], Row]) -> None:
        """Begin with the rows of a run.

        Args:
            rows: Oldest first.
            load: Gives the row of a number from the store.
        """
        self.load = load
        self.done, self.undone = array("q"), array("q")
        """The rows that took acts back; redo takes the last of them back in turn."""
        for row in rows:
            self.record(row)

    @classmethod
    def of_run(cls, ledger: Ledger, run_id: str) -> "History":
        """Return the history of a run as its rows tell it."""
        kinds = ", ".join(f"'{kind.value}'" for kind in _UNDOABLE)

        def load(seq: int) -> Row:
            (row,) = rows_where(ledger, "seq = ?", (seq,))
            return row

        return cls(rows_where(ledger, f"run_id = ? AND kind IN ({kinds})", (run_id,)), load)

    def record(self, row: Row) -> None:
        """Take note of a row that was just written."""
        if row.kind not in _UNDOABLE:
            return
        reason = row.body.get("reason")
        if reason == UNDO_REASON:
            if self.done:
                self.done.pop()
            self.undone.append(row.seq)
        elif reason == REDO_REASON:
            if self.undone:
                self.undone.pop()
            self.done.append(row.seq)
        else:
            self.done.append(row.seq)
            del self.undone[:]

    def pass_over_sealed(self, ledger: Ledger) -> bool:
        """Forget the newest acts that a sealed consignment holds fast, those before can be undone; return
        whether there were any."""
        before = len(self.done)
        for acts in (self.done, self.undone):
            while acts and is_fixed_by_seal(ledger, self.load(acts[-1])):
                acts.pop()
        return len(self.done) < before

    def undo(self, ledger: Ledger, person: str) -> tuple[Row, Row]:
        """Take the last act back by a new row; return the act and that row.

        Raises:
            DeskRefusal: There is none.
        """
        if not self.done:
            raise DeskRefusal("Nothing to undo: no act of this run is left.")
        act = self.load(self.done[-1])
        row = invert(ledger, act, UNDO_REASON, person)
        self.record(row)
        return act, row

    def redo(self, ledger: Ledger, person: str) -> Row:
        """Take the last undo back by a new row; return that new row.

        Raises:
            DeskRefusal: Nothing was undone, or something else was done since.
        """
        if not self.undone:
            raise DeskRefusal("Nothing to redo: nothing was undone since the last act.")
        row = invert(ledger, self.load(self.undone[-1]), REDO_REASON, person)
        self.record(row)
        return row


def invert(ledger: Ledger, act: Row, reason: str, person: str) -> Row:
    """Write the row that undoes an act; the act itself stays where it is."""
    if act.kind in _PLAIN:
        return ledger.void(act.row_id, reason, person)
    if act.kind is RowKind.LOT:
        body = {**lot_before(ledger, act), "reason": reason}
        return ledger.append(RowKind.LOT, person=person, body=body)
    if act.kind is RowKind.FROM_HERE:
        said = act.body
        body = {"supplier": said["was_supplier"], "load": said["was_load"], "reason": reason}
        was = {"was_supplier": said["supplier"], "was_load": said["load"]}
        return ledger.append(RowKind.FROM_HERE, person=person, body=body | was)
    refers = act.refers
    assert refers is not None, "every correction names the row that it corrects"
    match act.kind:
        case RowKind.VOID:
            return ledger.unvoid(refers, reason, person)
        case RowKind.UNVOID:
            return ledger.void(refers, reason, person)
        case RowKind.LOAD:
            before = _before(ledger, refers, act.seq)
            together = str(act.body.get("together", ""))
            return ledger.assign(refers, before.supplier, before.load, reason, person, together=together)
        case RowKind.REWEIGH:
            before = _before(ledger, refers, act.seq)
            return ledger.reweigh(refers, before.mass_g, reason, person, pieces=before.pieces)
        case RowKind.MOVE | RowKind.RESOLVE:
            before, after = (_before(ledger, refers, seq) for seq in (act.seq, act.seq + 1))
            return ledger.move(
                refers,
                before.bay,
                reason,
                person,
                tag=before.tag if before.is_held else None,
                grade_id=None if before.grade_id == after.grade_id else before.grade_id or "",
            )
    raise AssertionError(f"{act.kind} cannot be taken back")


def _before(ledger: Ledger, piece_id: str, seq: int) -> Standing:
    piece = row_by_id(ledger, piece_id)
    assert piece is not None
    earlier = (row for row in corrections_of(ledger, piece_id) if row.seq < seq)
    return stand_after([piece, *earlier])[piece_id]
