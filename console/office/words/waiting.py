"""Words of the office that were pulled and wait beside the store for the next start of the console."""

import json
from contextlib import suppress
from pathlib import Path

from console.ground.durable import replace_whole
from console.office.words.word import Word, WordRefused, word_from, words_text
from grade_library.user_files import UserFileError, read_text

ENDING = ".office.json"
"""Behind the name of the store."""
MOST_BYTES = 50_000_000


def waiting_file(store: Path) -> Path:
    """Return the file in which words wait for a store."""
    return store.with_name(store.name + ENDING)


def waiting_words(store: Path) -> list[Word]:
    """Return the words that wait, oldest first; none where there is no such file.

    Raises:
        WordRefused: The file holds something else.
    """
    try:
        # Not as a file of a user is read, whose texts are cleaned: a word must stay as it was signed.
        found = json.loads(read_text(waiting_file(store), MOST_BYTES))
        return sorted((word_from(one) for one in found), key=lambda one: one.number)
    except FileNotFoundError:
        return []
    except (OSError, UserFileError, WordRefused, TypeError, ValueError, RecursionError) as error:
        raise WordRefused(
            f"{waiting_file(store).name} beside the store holds no words of the office ({error}); the next "
            "gather writes it anew."
        ) from None


def let_wait(store: Path, words: list[Word]) -> None:
    """Put words beside a store for the next start of the console; the file is whole or as it was.

    Raises:
        OSError: The disk refused.
    """
    if words:
        replace_whole(waiting_file(store), words_text(words))
    else:
        none_wait(store)


def none_wait(store: Path) -> None:
    """Take the file away once its words are in the ledger; one that cannot be is passed over next time."""
    with suppress(OSError):
        waiting_file(store).unlink(missing_ok=True)
