"""The wire between the office's server and both its ends: a word is put there, and pulled from there."""

from dataclasses import dataclass

from psycopg.rows import class_row

from console.ledger.rows.chain import FIRST_PREV_HASH
from console.ledger.rows.queries import LedgerReader
from console.office.address import Connection
from console.office.errors import OfficeError, told_in_a_line
from console.office.schema import require_step
from console.office.words.trusting import trusted_of
from console.office.words.waiting import let_wait
from console.office.words.word import COLUMNS, Word, last_of, words_taken
from console.yard.yard import Yard

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Pulled:
    """What a pull came to."""

    waiting: int = 0
    """Words that wait for the next start of the console."""
    refused: str = ""
    """Why a word is not taken; empty where none is refused."""


def pull(reader: LedgerReader, connection: Connection, yard: Yard) -> Pulled:
    """Pull what the office says to a yard and lay it beside its store.

    Words before one that is refused wait all the same.

    Raises:
        OfficeError: The office does not answer or refuses, or the words cannot be written.
        StoreError: The store cannot be read.
        WordRefused: The package that checks signatures is missing.
    """
    after = last_of(words_taken(reader))
    words = pulled(connection, yard.name, after[0])
    if words and not yard.office.keys:
        return Pulled(
            refused=f"The office said something to this yard (words: {len(words)}), but yard.toml names no "
            "key of the office ([office] keys), so none is taken."
        )
    trusted, refused = trusted_of(words, yard=yard.name, after=after, keys=yard.office.keys)
    try:
        let_wait(reader.path, trusted)
    except OSError as error:
        raise OfficeError(
            f"What the office says cannot be written beside the store ({error.strerror})."
        ) from None
    return Pulled(waiting=len(trusted), refused=refused)
