"""The wire between the office's server and both its ends: a word is put there, and pulled from there."""

from psycopg.rows import class_row

from console.ledger.rows.chain import FIRST_PREV_HASH
from console.office.address import Connection
from console.office.errors import told_in_a_line
from console.office.schema import require_step
from console.office.words.word import COLUMNS, Word

_NAMES = ", ".join(COLUMNS)
_PLACES = ", ".join(f"%({name})s" for name in COLUMNS)


def said_so_far(connection: Connection, yard: str) -> tuple[int, str]:
    """Return number and hash of the newest word to a yard; 0 and the first hash where there is none.

    Raises:
        OfficeError: The office does not answer, refuses, or is of another step.
    """
    require_step(connection)
    with told_in_a_line():
        found = connection.execute(
            "SELECT number, row_hash FROM baywright.word WHERE yard = %s ORDER BY number DESC LIMIT 1",
            (yard,),
        ).fetchone()
    return (int(found[0]), str(found[1])) if found else (0, FIRST_PREV_HASH)


def put(connection: Connection, word: Word) -> None:
    """Have the office keep a word.

    Raises:
        OfficeError: It does not answer or refuses, such as when another word came first.
    """
    with told_in_a_line():
        connection.execute(
            f"INSERT INTO baywright.word ({_NAMES}) VALUES ({_PLACES})".encode(),
            {name: getattr(word, name) for name in COLUMNS},
        )


def pulled(connection: Connection, yard: str, after: int) -> list[Word]:
    """Return what the office said to a yard after a number, oldest first; unchecked.

    Raises:
        OfficeError: The office does not answer, refuses, or is of another step.
    """
    require_step(connection)
    with told_in_a_line(), connection.cursor(row_factory=class_row(Word)) as cursor:
        return list(
            cursor.execute(
                f"SELECT {_NAMES} FROM baywright.word WHERE yard = %s AND number > %s "
                "ORDER BY number".encode(),
                (yard, after),
            )
        )
