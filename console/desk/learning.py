"""What the desk has learned from its own ledger: the yard's own frequencies."""

from console.ledger.connection import Readable
from console.ledger.trouble import told_plainly
from grade_library.library import GradeLibrary
from grade_library.prior import Prior


def prior_of_yard(source: Readable, library: GradeLibrary) -> Prior:
    """Return the frequencies that the yard's closed runs have met, mixed with the usual ones.

    Only closed runs count: they were looked over. Voided pieces and pieces without a name do not.
    """
    with told_plainly(source.path):
        counts = source.connection.execute(
            "SELECT grade_id, count(*) FROM ledger AS piece WHERE kind = 'piece' AND grade_id IS NOT NULL "
            "AND run_id IN (SELECT run_id FROM ledger WHERE kind = 'close') "
            "AND NOT EXISTS (SELECT 1 FROM ledger WHERE refers = piece.row_id AND kind = 'void') "
            "GROUP BY grade_id"
        ).fetchall()
    return Prior.from_counts(dict(counts), library)
