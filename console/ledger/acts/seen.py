"""Somebody who took over says that they have read what was left."""

from console.ledger.acts.journal import Journal
from console.ledger.rows.rows import Row, RowKind


def see(journal: Journal, person: str) -> Row:
    """Keep in the open run that a person has read what was left.

    Raises:
        LedgerRefusal: No run is open.
    """
    return journal.append_to_open_run(RowKind.SEEN, person=person, body={})
