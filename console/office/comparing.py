"""Compares a store with the office without writing: every row's hash, and the office's with their own."""

from dataclasses import dataclass

from console.ledger.keeping.going_back import hash_at, last_seq
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.trouble import told_plainly
from console.office.address import Connection
from console.office.chains import Standing, State, chains_of, standing_of
from console.office.errors import told_in_a_line
from console.office.remembering import lost_by
from console.office.schema import require_step


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What a comparison found."""

    standing: Standing
    newest: int
    """Newest row of the store."""
    missing: int
    """Rows of the store that the office has not."""
    changed: tuple[int, ...]
    """Rows at the office that do not agree with their own hash, or with the store's; the first ten."""

    lost: int = 0
    """Newest row that the office took before and has no longer."""

    @property
    def is_even(self) -> bool:
        """Whether store and office hold the same rows, all as they were written."""
        return self.standing.state is State.IN_STEP and not self.missing and not self.changed


MOST_TOLD = 10


def compare(source: LedgerSource, connection: Connection) -> Compared:
    """Compare a store with the office; nothing is written.

    Raises:
        OfficeError: The office does not answer, refuses, or is of another step.
        StoreError: The store cannot be read.
    """
    require_step(connection)
    with told_in_a_line(), told_plainly(source.path):
        ledger = hash_at(source.connection, 1)
        newest = last_seq(source.connection)
        chains = chains_of(connection, ledger) if ledger else []
        standing = standing_of(connection, source.connection, chains, newest)
        lost = lost_by(connection, source.path, ledger) if ledger else 0
        chain = standing.chain
        if chain is None:
            return Compared(standing=standing, newest=newest, missing=newest, changed=(), lost=lost)
        missing = (
            max(0, newest - chain.seq) if standing.state is State.IN_STEP else newest - standing.common_seq
        )
        changed = _changed(source, connection, chain.chain, min(chain.seq, standing.common_seq))
    return Compared(standing=standing, newest=newest, missing=missing, changed=changed, lost=lost)


def _changed(source: LedgerSource, connection: Connection, chain: int, until: int) -> tuple[int, ...]:
    """Return the first rows at the office that are not as the terminal wrote them."""
    found = []
    with connection.transaction(), connection.cursor(name="every_row") as rows:
        rows.itersize = 5_000
        rows.execute(
            "SELECT r.seq, r.row_hash, r.row_hash = baywright.hash_of(r) FROM baywright.ledger_row r "
            "WHERE r.chain = %s AND r.seq <= %s ORDER BY r.seq",
            (chain, until),
        )
        seq = 0
        for number, own, agrees in rows:
            seq += 1
            if number != seq or not agrees or hash_at(source.connection, number) != own:
                found.append(int(number))
                seq = number
            if len(found) >= MOST_TOLD:
                break
    return tuple(found)
