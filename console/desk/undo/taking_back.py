"""Undo and redo as acts: a correction counts as one, though it wrote two rows."""

from typing import TYPE_CHECKING

from console.desk import sentences
from console.desk.bays.void_sheets import match_sheets
from console.desk.done import Done, done
from console.desk.refusals import DeskRefusal
from console.desk.undo.replacing import done_together, is_replacement
from console.ledger.consignments.consignment import TAG
from console.ledger.rows.queries import row_by_id
from console.ledger.rows.rows import Row, RowKind

SEALED = "A sealed consignment stays as it is. Once more takes back what was done before it: {before}."
NOTHING = "nothing"

if TYPE_CHECKING:
    from console.desk.desk import Desk


def undo(desk: "Desk") -> Done[None]:
    """Take back the last act of the run by a new row, both acts of a correction by two.

    Raises:
        DeskRefusal: There is none, or the last act is held fast by a seal: what was done before it is taken
            back by the next undo, now that somebody knows which act that is.
    """
    history = desk.history
    if history.pass_over_sealed(desk.ledger):
        before = _said_of(desk, history.load(history.done[-1])) if history.done else NOTHING
        raise DeskRefusal(SEALED.format(before=before))
    if is_replacement(desk.ledger, [*map(history.load, history.done[-2:])]):
        with desk.ledger.act():
            (_, new), (act, old) = (history.undo(desk.ledger, desk.person) for _ in range(2))
        return done(f"taken back: the correction of {_piece_of(desk, act)}", new, old)
    if (count := done_together(desk.ledger, map(history.load, reversed(history.done)))) > 1:
        with desk.ledger.act():
            rows = [history.undo(desk.ledger, desk.person)[1] for _ in range(count)]
        return done(f"taken back: {_said_of_all(desk, rows)}", *rows)
    act, row = history.undo(desk.ledger, desk.person)
    if act.kind is RowKind.CHECK:
        desk.checks.learn()
    if act.kind is RowKind.FROM_HERE:
        desk.loads.look_again()
        return done(f"taken back: {_said_of(desk, act)}; {desk.loads.from_here}", row)
    return done(f"taken back: {_said_of(desk, act)}{_of_sheets(desk, act)}", row)


def redo(desk: "Desk") -> Done[None]:
    """Take back the last undo, both of a correction."""
    history = desk.history
    history.pass_over_sealed(desk.ledger)
    if is_replacement(desk.ledger, [*map(history.load, history.undone[:-3:-1])]):
        with desk.ledger.act():
            rows = [history.redo(desk.ledger, desk.person) for _ in range(2)]
        return done(f"once more: the correction to {_piece_of(desk, rows[1])}", *rows)
    if (count := done_together(desk.ledger, map(history.load, reversed(history.undone)))) > 1:
        with desk.ledger.act():
            again = [history.redo(desk.ledger, desk.person) for _ in range(count)]
        return done(f"once more: {_said_of_all(desk, again)}", *again)
    row = history.redo(desk.ledger, desk.person)
    desk.checks.learn()
    if row.kind is RowKind.FROM_HERE:
        desk.loads.look_again()
    return done(f"once more: {_said_of(desk, row)}{_of_sheets(desk, _about(desk, row) or row)}", row)


def _of_sheets(desk: "Desk", act: Row) -> str:
    """Bring the sheets of an act in line with it; return what to say of them."""
    said = match_sheets(desk) if act.kind is RowKind.DRAW_DOWN else ""
    return f"; {said}" if said else ""


def _about(desk: "Desk", row: Row) -> Row | None:
    return row_by_id(desk.ledger, row.refers) if row.refers else None


def _said_of(desk: "Desk", row: Row) -> str:
    return sentences.act(row, _about(desk, row), desk.yard)


def _said_of_all(desk: "Desk", rows: list[Row]) -> str:
    about = [one for row in rows if (one := _about(desk, row)) is not None]
    tags = sorted({str(one.body[TAG]) for one in about if one.kind is RowKind.CONSIGNMENT})
    return f"the drafts {', '.join(tags)}" if tags else f"whose load {len(rows)} pieces belong to"


def _piece_of(desk: "Desk", row: Row) -> str:
    """Return the piece that a row entered or is about, in words."""
    return sentences.act(_about(desk, row) or row, None, desk.yard)
