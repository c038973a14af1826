"""Ids that sort by time and never meet twice, also over several terminals."""

import secrets
from datetime import datetime

# Digits and capital letters without I, L, O and U: in ASCII order, so that text order is time order,
# and without letters that are misread from a printed page.
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
_AS_PYTHON = str.maketrans(ALPHABET, "0123456789abcdefghijklmnopqrstuv")
TIME_DIGITS = 10
"""48 bits of milliseconds since 1970 need 10 digits of 5 bits; they last beyond the year 10000."""
COUNT_DIGITS = 5
COUNT_LIMIT = 32**COUNT_DIGITS


class RowIds:
    """Gives ids such as 01JDH7Q2M8-0G5T1-T1: time, count within the millisecond, terminal.

    The count starts at random in its lower half, so that two terminals that bear the same name by mistake
    hardly ever make the same id. A clock that goes backwards never makes an id that sorts before the last.
    """

    def __init__(self, terminal: str, last_id: str | None = None) -> None:
        self._terminal = terminal
        self._time_ms = 0
        self._count = 0
        if last_id is not None:
            time_text, count_text, *_ = last_id.split("-")
            self._time_ms = number_of(time_text)
            self._count = number_of(count_text)

    def next_id(self, at: datetime) -> str:
        """Return a new id that sorts after every id given before.

        Args:
            at: The time of the row, aware.
        """
        time_ms = int(at.timestamp() * 1000)
        if time_ms > self._time_ms:
            self._time_ms = time_ms
            self._count = secrets.randbelow(COUNT_LIMIT // 2)
        elif self._count + 1 < COUNT_LIMIT:
            self._count += 1
        else:
            self._time_ms += 1
            self._count = 0
        return f"{text_of(self._time_ms, TIME_DIGITS)}-{text_of(self._count, COUNT_DIGITS)}-{self._terminal}"


def text_of(number: int, digits: int) -> str:
    """Return the number in the alphabet, most significant digit first, filled to the given digits.

    >>> text_of(33, 3)
    '011'
    """
    text = ""
    for _ in range(digits):
        number, rest = divmod(number, 32)
        text = ALPHABET[rest] + text
    return text


def number_of(text: str) -> int:
    """Return the number that a text in the alphabet stands for.

    >>> number_of("011")
    33
    """
    return int(text.translate(_AS_PYTHON), 32)
