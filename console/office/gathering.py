"""Gathers the rows of a store into the office: each once, in order, whatever cuts in.

A batch is one transaction. The office knows how far it is by the rows themselves, so that a gather that was
cut off anywhere is gone on with by the next; the terminal never waits for it, and what it remembers of it
(`remembering.py`) only tells when an office was put back.
Every row is hashed again here before it leaves and at the office before it is taken.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from console.ledger.keeping.going_back import hash_at, last_seq
from console.ledger.rows.chain import FIRST_PREV_HASH, HASHED_COLUMNS, row_hash
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.trouble import told_plainly
from console.office.address import Connection
from console.office.chains import Chain, Standing, State, chains_of, namesakes, standing_of
from console.office.errors import OfficeError, OfficeRefused, OfficeUnreached, told_in_a_line
from console.office.forks import fork_of
from console.office.remembering import office_of, put_back_noticed, remember
from console.office.schema import require_step

BATCH_ROWS, BATCH_TEXT = 20_000, 6_000_000
"""Most rows of one transaction, and characters of their bodies and evidence at which it ends (own choice): a
second of the server's work at most, and a minute of a network of 1 Mbit/s."""
_BODY, _EVIDENCE = HASHED_COLUMNS.index("body"), HASHED_COLUMNS.index("evidence")
_COLUMNS = ", ".join((*HASHED_COLUMNS, "row_hash"))
_STAGE = f"""
    SET LOCAL work_mem = '32MB'; -- a batch is looked through several times
    SET LOCAL jit = off; -- nothing is known of the table below, so it would be taken for a long one
    CREATE TEMP TABLE IF NOT EXISTS coming ON COMMIT DELETE ROWS AS
    SELECT {_COLUMNS} FROM baywright.ledger_row WITH NO DATA
"""
_TAKE = f"INSERT INTO baywright.ledger_row (chain, {_COLUMNS}) SELECT %s, {_COLUMNS} FROM coming"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """What a store's own rows do not say."""

    yard: str
    terminal: str
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """What a gather came to."""

    standing: Standing
    rows: int
    """Rows that the office took."""
    newest: int
    """Newest row of the store."""
    namesakes: tuple[Chain, ...] = ()
    """Other ledgers of the same yard and terminal name."""
    lost: int = 0
    """Newest row that the office took before and had no longer: an older copy of it was put back."""
    is_busy: bool = False
    """Another gather is at work on this ledger; this one did nothing."""
    common_seq: int = 0
    """Of a fork: the last row that it shares with the chain it went apart from."""
    twice: tuple[str, ...] = ()
    """Of a fork: tags issued on both ways after it."""
    is_decided: bool = False
    """Of a fork: a person said which way counts."""

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to do for anybody."""
        is_apart = self.standing.chain is not None and self.standing.chain.branch > 0 and not self.is_decided
        return not (self.is_busy or is_apart or self.standing.state is State.BEHIND)


class OfficeCutOff(OfficeError):  # noqa: N818 - reads as a claim
    """The office went away in the middle; `rows` were taken before."""

    def __init__(self, message: str, rows: int) -> None:
        super().__init__(message)
        self.rows = rows


_NOTHING = Gathered(standing=Standing(state=State.IN_STEP, chain=None), rows=0, newest=0)


def gather(
    source: LedgerSource,
    connection: Connection,
    place: Place,
    *,
    tell: Callable[[int, int], None] = lambda done, total: None,
    now: Callable[[], datetime] = lambda: datetime.now(UTC),
    batch_rows: int = BATCH_ROWS,
) -> Gathered:
    """Bring every row of a store that the office has not yet to it.

    Args:
        source: The store, read only.
        connection: The office.
        place: Yard, terminal and currency.
        tell: Is told how many rows of how many are there.
        now: The terminal's clock, which the office compares with its own.
        batch_rows: Rows of one transaction.

    Raises:
        OfficeError: The office does not answer, refuses, or is of another step.
        OfficeCutOff: It went away after some rows.
        StoreError: The store cannot be read.
    """
    require_step(connection)
    with told_plainly(source.path):
        ledger = hash_at(source.connection, 1)
        newest = last_seq(source.connection)
    if ledger is None:
        return _NOTHING
    with told_in_a_line(), _alone(connection, ledger) as is_alone:
        if not is_alone:
            return replace(_NOTHING, newest=newest, is_busy=True)
        standing = _chain_for(source, connection, ledger, place, newest)
        lost = put_back_noticed(connection, source.path, ledger, standing)
        rows = _push(source, connection, standing, newest, tell, batch_rows)
        _leave_word(connection, standing, newest, now())
        others = tuple(namesakes(connection, ledger, place.yard, place.terminal))
        done = Gathered(standing=standing, rows=rows, newest=newest, namesakes=others, lost=lost)
        return _with_fork(connection, done)


def _with_fork(connection: Connection, done: Gathered) -> Gathered:
    """Return what a gather came to with the fork that its chain came of, if it did."""
    apart = fork_of(connection, done.standing.chain) if done.standing.chain else None
    if apart is None:
        return done
    return replace(done, common_seq=apart.common_seq, twice=apart.twice, is_decided=apart.is_decided)


@contextmanager
def _alone(connection: Connection, ledger: str) -> Iterator[bool]:
    """Give whether no other gather is at work on the ledger; none begins until the end."""
    key = int.from_bytes(bytes.fromhex(ledger[:16]), signed=True)
    found = connection.execute("SELECT pg_try_advisory_lock(%s)", (key,)).fetchone()
    is_alone = bool(found and found[0])
    try:
        yield is_alone
    finally:
        # The lock goes with the connection too, so a gatherer that is killed leaves none behind.
        if is_alone and not connection.closed and not connection.broken:
            connection.execute("SELECT pg_advisory_unlock(%s)", (key,))


def _chain_for(
    source: LedgerSource, connection: Connection, ledger: str, place: Place, newest: int
) -> Standing:
    """Return how the store stands, with a chain to add to: the one it agrees with, else a new one."""
    with told_plainly(source.path):
        standing = standing_of(connection, source.connection, chains_of(connection, ledger), newest)
    if standing.state is State.BEHIND or (standing.state is State.IN_STEP and standing.chain is not None):
        return standing
    apart = standing.chain
    with connection.transaction():
        made = connection.execute(
            "INSERT INTO baywright.chain (ledger, branch, yard, terminal, currency, fork_of, common_seq, "
            "common_hash) SELECT %s, coalesce(max(branch) + 1, 0), %s, %s, %s, %s, %s, %s "
            "FROM baywright.chain WHERE ledger = %s RETURNING chain, branch",
            (
                ledger,
                place.yard,
                place.terminal,
                place.currency,
                apart.chain if apart else None,
                standing.common_seq if apart else None,
                standing.common_hash if apart else None,
                ledger,
            ),
        ).fetchone()
    assert made is not None, "an insert that returns gives its row"
    chain = Chain(
        chain=made[0],
        branch=made[1],
        yard=place.yard,
        terminal=place.terminal,
        seq=0,
        row_hash=FIRST_PREV_HASH,
    )
    return replace(standing, chain=chain)


def _push(
    source: LedgerSource,
    connection: Connection,
    standing: Standing,
    newest: int,
    tell: Callable[[int, int], None],
    batch_rows: int,
) -> int:
    """Return how many rows were taken; what the office has already is passed over, and remembered."""
    chain = standing.chain
    if chain is None or standing.state is State.BEHIND:
        return 0
    office, at, total = office_of(connection), chain.seq, newest - chain.seq
    try:
        with told_in_a_line(), closing(_Reading(source, chain, newest, batch_rows)) as reading:
            reading.begin()
            while rows := reading.rows():
                _take(connection, chain.chain, rows, reading.begin)
                at = int(rows[-1][0])
                tell(at - chain.seq, total)
    except (OfficeUnreached, OfficeRefused) as told:
        if at == chain.seq:
            raise
        raise OfficeCutOff(f"{at - chain.seq} rows were taken, then: {told}", at - chain.seq) from told
    finally:
        ledger, row_hash = hash_at(source.connection, 1), hash_at(source.connection, at)
        if ledger is not None and row_hash is not None:
            remember(source.path, office, ledger, at, row_hash)
    return at - chain.seq


class _Reading:
    """Reads the rows of a store batch by batch; a batch is read and hashed while the server takes another."""

    def __init__(self, source: LedgerSource, chain: Chain, newest: int, batch_rows: int) -> None:
        self._source, self._newest, self._batch_rows = source, newest, batch_rows
        self._at, self._before = chain.seq, chain.row_hash
        self._thread = ThreadPoolExecutor(1)
        self._coming: Future[list[tuple[Any, ...]]] | None = None

    def begin(self) -> None:
        """Begin to read the next batch, if there is one."""
        count = min(self._batch_rows, self._newest - self._at)
        if count > 0:
            self._coming = self._thread.submit(_next_rows, self._source, self._at, self._before, count)

    def rows(self) -> list[tuple[Any, ...]]:
        """Return the batch that was begun; empty where none was.

        Raises:
            OfficeError: See `_next_rows`.
        """
        if self._coming is None:
            return []
        rows, self._coming = self._coming.result(), None
        self._at, self._before = int(rows[-1][0]), str(rows[-1][-1])
        return rows

    def close(self) -> None:
        """Wait until nothing is read any more."""
        self._thread.shutdown()


def _next_rows(source: LedgerSource, after: int, before: str, count: int) -> list[tuple[Any, ...]]:
    """Return the next rows of the store, each as it was written; fewer than so many where they are long.

    Raises:
        OfficeError: A row does not agree with its hash, or with the row before it.
    """
    query = f"SELECT {_COLUMNS} FROM ledger WHERE seq > ? ORDER BY seq LIMIT ?"
    rows: list[tuple[Any, ...]] = []
    seq, text = after, 0
    with told_plainly(source.path), closing(source.connection.execute(query, (after, count))) as found:
        for row in found:
            seq += 1
            if row[0] != seq or row[-2] != before or row_hash(row[:-1]) != row[-1]:
                raise OfficeError(
                    f"Row {seq} of {source.path} is not as it was written, so it and all after it stay here. "
                    "See what it is with baywright verify."
                )
            rows.append(row)
            before = row[-1]
            text += len(row[_BODY]) + len(row[_EVIDENCE] or "")
            if text >= BATCH_TEXT:
                break
    if not rows:
        raise OfficeError(f"Row {after + 1} of {source.path} is missing. See: baywright verify.")
    return rows


def _take(connection: Connection, chain: int, rows: list[tuple[Any, ...]], sent: Callable[[], None]) -> None:
    """Have the office take rows, all or none.

    By way of a table of our own: COPY is not let into a table that has rules on who adds to which yard.

    Args:
        connection: The office.
        chain: Its number of the chain that they go on.
        rows: In their order.
        sent: Called once they are with the server, which then works by itself.
    """
    with connection.transaction():
        connection.execute(_STAGE.encode())
        with connection.cursor().copy(f"COPY coming ({_COLUMNS}) FROM STDIN".encode()) as copy:
            for row in rows:
                copy.write_row(row)
        sent()
        connection.execute(_TAKE.encode(), (chain,))


def _leave_word(connection: Connection, standing: Standing, newest: int, now: datetime) -> None:
    """Have the office know that this store was here, how far it is, and how far its clock is off."""
    if standing.chain is None:
        return
    connection.execute(
        "INSERT INTO baywright.visit (chain, state, store_seq, clock_off) "
        "VALUES (%s, %s, %s, %s - clock_timestamp())",
        (standing.chain.chain, standing.state.value, newest, now),
    )
