"""A terminal pulls what the office says: checked, then laid beside the store for the next start."""

from dataclasses import dataclass

from console.ledger.rows.queries import LedgerReader
from console.office.address import Connection
from console.office.errors import OfficeError
from console.office.words.trusting import trusted_of
from console.office.words.waiting import let_wait
from console.office.words.wire import pulled
from console.office.words.word import last_of, words_taken
from console.yard.yard import Yard


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
