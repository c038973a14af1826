"""What the desk has learned: the yard's own frequencies, and how far the analyser can be trusted now."""

from collections.abc import Mapping
from datetime import datetime

from console.desk.checking import controls_of
from console.ledger.connection import Readable
from console.ledger.trouble import told_plainly
from console.yard.check_state import widening
from console.yard.yard import Yard
from grade_library.library import GradeLibrary
from grade_library.prior import Prior
from grade_library.technique import Profile, profiles


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


def profiles_now(source: Readable, yard: Yard, at: datetime) -> Mapping[str, Profile]:
    """Return the technique profiles, widened while the analyser is out of control by a check sample."""
    known = dict(profiles())
    for technique, factors in widening(controls_of(source, yard, at)).items():
        if technique in known:
            known[technique] = known[technique].widened(factors)
    return known
