"""The runs of a store, and who works them."""

from typing import NamedTuple

from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import Row, RowKind, Run

_RUN_KINDS = "kind IN ('open', 'take-over', 'close')"

# By run and kind, both in an index: a store of 100,000 pieces is not read through for a few other rows.
OF_ALL_RUNS = (
    f"run_id IN (SELECT run_id FROM ledger INDEXED BY ledger_of_runs WHERE {_RUN_KINDS} AND kind = 'open')"
)
"""SQL that is true of every row of every run; with `kind = ...` before it an index does."""


class Where(NamedTuple):
    """Which rows are meant."""

    sql: str
    """A condition, written by this program, with `?` for every value."""
    values: tuple[object, ...] = ()


ALL_RUNS = Where(OF_ALL_RUNS)
CLOSED_RUNS = Where(
    f"run_id IN (SELECT run_id FROM ledger INDEXED BY ledger_of_runs WHERE {_RUN_KINDS} AND kind = 'close')"
)


def of_run(run_id: str) -> Where:
    """Return which rows belong to a run; a correction belongs to the run of the row that it corrects."""
    return Where("run_id = ?", (run_id,))


def open_run_of(source: LedgerSource) -> Run | None:
    """Return the run that is open, None if none is."""
    run = latest_run(source)
    return None if run is None or run.is_closed else run


def open_run_id(source: LedgerSource) -> str:
    """Return the id of the open run.

    Raises:
        LedgerRefusal: No run is open.
    """
    run = open_run_of(source)
    if run is None:
        raise LedgerRefusal("No run is open. Open one first.")
    return run.run_id


def latest_run(source: LedgerSource) -> Run | None:
    """Return the open run, or the last one when none is open; None in a store without runs."""
    rows = rows_where(
        source,
        f"run_id = (SELECT run_id FROM ledger INDEXED BY ledger_of_runs WHERE {_RUN_KINDS} AND kind = 'open' "
        f"ORDER BY seq DESC LIMIT 1) AND {_RUN_KINDS}",
    )
    return _run_of(rows) if rows else None


def run_by_id(source: LedgerSource, run_id: str) -> Run | None:
    """Return the run with this id, None if there is none."""
    rows = rows_where(source, f"run_id = ? AND {_RUN_KINDS}", (run_id,))
    return _run_of(rows) if rows else None


def runs(source: LedgerSource) -> list[Run]:
    """Return every run, oldest first."""
    by_run: dict[str, list[Row]] = {}
    for row in rows_where(source, _RUN_KINDS, index="ledger_of_runs"):
        by_run.setdefault(row.run_id, []).append(row)
    return [_run_of(rows) for rows in by_run.values()]


def _run_of(rows: list[Row]) -> Run:
    """Return the run that its open, take-over and close rows make, oldest first."""
    opened = rows[0]
    closed = next((row for row in rows if row.kind is RowKind.CLOSE), None)
    workers = [row.person for row in rows if row.kind is not RowKind.CLOSE]
    return Run(
        run_id=opened.run_id,
        opened_utc=opened.at_utc,
        opened_by=opened.person,
        person=workers[-1],
        is_closed=closed is not None,
        closed_utc=closed.at_utc if closed else None,
        closed_by=closed.person if closed else None,
        explanation=str(closed.body.get("explanation", "")) if closed else "",
    )
