"""A price that a person typed: a row of its own, which may reach back within the open run."""

from datetime import datetime

from console.ground.dates import local_day_and_time
from console.ledger.keeping.store import Ledger
from console.ledger.prices.price_rows import TYPED, BayPrice
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.row_text import time_text
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import open_run_id, runs

CLOSED = (
    "Run {run} was closed {at}: what lies in it keeps its value. A price may hold from then on, not {since}."
)


def first_row_since(ledger: Ledger, since: datetime) -> int:
    """Return the number of the first row of the open run at or after a moment; the next row where none is.

    Raises:
        LedgerRefusal: No run is open, or another one was closed after that moment.
    """
    run_id = open_run_id(ledger)
    for one in runs(ledger):
        if one.closed_utc is not None and one.closed_utc > since:
            times = {"at": local_day_and_time(one.closed_utc), "since": local_day_and_time(since)}
            raise LedgerRefusal(CLOSED.format(run=one.run_id, **times))
    of_run = "SELECT min(seq) FROM ledger WHERE run_id = ? AND at_utc >= ?"
    (first,) = ledger.connection.execute(of_run, (run_id, time_text(since))).fetchone()
    return int(first or ledger.journal.head[0] + 1)


def write_typed_price(
    ledger: Ledger,
    bay: str,
    price: BayPrice,
    person: str,
    *,
    was: BayPrice,
    since: datetime,
    start: int,
    reason: str,
) -> Row:
    """Write a price that a person typed; return its row once it is on disk.

    Args:
        ledger: With an open run.
        bay: Whose price it is.
        price: All three, those that were not typed as they were.
        person: Who typed it.
        was: What it corrects.
        since: From when on it holds.
        start: The first row of the run that it holds for, see `first_row_since`.
        reason: Why.

    Raises:
        LedgerRefusal: No run is open.
        StoreError: The disk refused; nothing was written.
    """
    body = {
        "source": TYPED,
        "currency": price.currency,
        "prices": {bay: price.as_body},
        "was": was.said,
        "since": time_text(since),
        "start": start,
        "reason": reason,
    }
    return ledger.append(RowKind.PRICE, person=person, body=body)
