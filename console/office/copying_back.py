"""A terminal's ledger as the office has it, made into a store again: the same reports read it."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from console.ledger.rows.chain import HASHED_COLUMNS
from console.ledger.rows.connection import writer_connection
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.schema import climb
from console.office.address import Connection
from console.office.errors import OfficeError, told_in_a_line
from console.office.schema import require_step

_COLUMNS = ", ".join((*HASHED_COLUMNS, "row_hash"))
_PLACES = ", ".join("?" * (len(HASHED_COLUMNS) + 1))


@contextmanager
def copied_back(connection: Connection, chain: int) -> Iterator[LedgerReader]:
    """Give a reader of a chain's rows; the store behind it lies in a folder that goes at the end.

    The store's own guards look at every row again: a row that does not follow the one before it is refused.

    Raises:
        OfficeError: There is no such chain, or the office does not answer.
    """
    require_step(connection)
    with TemporaryDirectory(prefix="baywright-") as folder:
        store = Path(folder) / "yard.sqlite3"
        _fill(connection, chain, store)
        with LedgerReader.open(store) as reader:
            yield reader


def _fill(connection: Connection, chain: int, store: Path) -> None:
    own = writer_connection(store)
    try:
        climb(own)
        own.execute("BEGIN IMMEDIATE")
        with told_in_a_line(), connection.transaction(), connection.cursor(name="rows_back") as rows:
            rows.itersize = 5_000
            rows.execute(
                f"SELECT {_COLUMNS} FROM baywright.ledger_row WHERE chain = %s ORDER BY seq".encode(),
                (chain,),
            )
            count = own.executemany(f"INSERT INTO ledger ({_COLUMNS}) VALUES ({_PLACES})", rows).rowcount
        own.execute("COMMIT")
    finally:
        own.close()
    if count <= 0:
        raise OfficeError(f"The office has no chain {chain} with rows that this login may see.")
