"""How much lies in every bay now, from the index and the corrections alone."""

from collections import Counter

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import ALL_RUNS
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.sums import corrected

_SIGN = {RowKind.PIECE: 1, RowKind.DRAW_DOWN: -1}
_ENTERED = (
    "SELECT bay, sum(mass_g) FROM ledger INDEXED BY ledger_by_run "
    f"WHERE kind = ? AND {ALL_RUNS.sql} GROUP BY bay"
)
"""The weight alone: counts and first rows, which `sums_by` gives too, are half of its cost."""


def lying_now(source: LedgerSource) -> dict[str, int]:
    """Return bay -> what lies there by the ledger, over all runs [g].

    The closing stock of all there is: pieces where they stand, less what was drawn down; negative where more
    was drawn down than ever tallied.
    """
    lying = Counter[str]()
    with one_view(source), told_plainly(source.path):
        for kind, sign in _SIGN.items():
            for bay, mass_g in source.connection.execute(_ENTERED, (kind.value, *ALL_RUNS.values)):
                lying[bay or ""] += sign * mass_g
        changed = corrected(source, ALL_RUNS)
    for one in changed.values():
        sign = _SIGN.get(RowKind(one.entered.kind), 0)
        if sign:
            lying[one.entered.bay or ""] -= sign * (one.entered.mass_g or 0)
        if sign and not one.is_void:
            lying[one.bay] += sign * one.mass_g
    return dict(lying)
