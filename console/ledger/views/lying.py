"""How much lies in every bay now, from the index and the corrections alone."""

from collections import Counter

from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.rows import RowKind
from console.ledger.rows.runs import ALL_RUNS
from console.ledger.views.sums import corrected, sums_by


def lying_now(source: LedgerSource) -> dict[str, int]:
    """Return bay -> what lies there by the ledger, over all runs [g].

    The closing stock of all there is: pieces where they stand, less what was drawn down; negative where more
    was drawn down than ever tallied.
    """
    lying = Counter[str]()
    with one_view(source):
        changed = corrected(source, ALL_RUNS)
        for kind, sign in ((RowKind.PIECE, 1), (RowKind.DRAW_DOWN, -1)):
            for bay, one in sums_by(source, "bay", kind, ALL_RUNS, changed).items():
                lying[bay] += sign * one.mass_g
    return dict(lying)
