"""How much lies in every bay now, from the index and the corrections alone."""

from collections import Counter

from console.ledger.rows.connection import Readable, one_view
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import OF_ALL_RUNS
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.piece_state import CORRECTIONS
from console.ledger.views.standing import Mark, Standing


def lying_now(source: Readable) -> dict[str, int]:
    """Return bay -> what lies there by the ledger, over all runs [g].

    The closing stock of all there is: pieces where they stand, less what was drawn down; negative where more
    was drawn down than ever tallied.
    """
    with one_view(source), told_plainly(source.path):
        lying = Counter[str]()
        for kind, sign in ((RowKind.PIECE, 1), (RowKind.DRAW_DOWN, -1)):
            for bay, mass_g in source.connection.execute(
                "SELECT bay, sum(mass_g) FROM ledger INDEXED BY ledger_by_run "
                f"WHERE kind = ? AND {OF_ALL_RUNS} GROUP BY bay",
                (kind.value,),
            ):
                lying[bay] += sign * mass_g
        _correct(source, lying)
    return dict(lying)


def _correct(source: Readable, lying: Counter[str]) -> None:
    """Take every corrected row out as it was entered and put it in as it stands."""
    marks: dict[str, list[Mark]] = {}
    corrections = f"{CORRECTIONS} AND {OF_ALL_RUNS}"
    for refers, *mark in source.connection.execute(
        "SELECT refers, kind, bay, grade_id, mass_g, pieces, tag FROM ledger INDEXED BY ledger_by_run "
        f"WHERE {corrections} ORDER BY seq"
    ):
        marks.setdefault(refers, []).append(Mark(*mark))
    for row_id, kind, bay, mass_g in source.connection.execute(
        "SELECT row_id, kind, bay, mass_g FROM ledger WHERE kind IN ('piece', 'draw-down') AND row_id IN "
        f"(SELECT refers FROM ledger INDEXED BY ledger_by_run WHERE {corrections})"
    ):
        sign = 1 if kind == RowKind.PIECE else -1
        standing = Standing(bay, None, mass_g, 1, None, False)
        for mark in marks[row_id]:
            standing.correct(mark)
        lying[bay] -= sign * mass_g
        if not standing.is_void:
            lying[standing.bay] += sign * standing.mass_g
