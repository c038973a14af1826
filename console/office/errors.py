"""What can go wrong between a terminal and its office, said in one line."""

from collections.abc import Iterator
from contextlib import contextmanager

import psycopg

from console.ground.cleaning import clean
from console.ground.errors import BaywrightError

LATER = "Nothing is lost: the rows stay on the terminal, and the next gather goes on where this one ended."


class OfficeError(BaywrightError):
    """The office cannot be used; the message says why, and what to do."""


class OfficeUnreached(OfficeError):  # noqa: N818 - reads as a claim
    """The server does not answer, or went away."""


class OfficeRefused(OfficeError):  # noqa: N818 - reads as a claim
    """The server answered and said no."""


class OfficeStep(OfficeError):  # noqa: N818 - reads as a claim
    """Office and program are not of the same schema step."""


@contextmanager
def told_in_a_line() -> Iterator[None]:
    """Raise the OfficeError that fits whatever the server or the network did inside.

    The words of the server are passed on without its details, which would quote rows.

    Raises:
        OfficeError: Or one of its kinds.
    """
    try:
        yield
    except (psycopg.OperationalError, psycopg.InterfaceError) as error:
        if isinstance(error, psycopg.errors.DiskFull):
            raise OfficeRefused(f"The disk of the office is full. {LATER}") from None
        if isinstance(error, psycopg.errors.QueryCanceled | psycopg.errors.LockNotAvailable):
            raise OfficeUnreached(f"The office is too slow ({_first_line(error)}). {LATER}") from None
        raise OfficeUnreached(f"The office cannot be reached ({_first_line(error)}). {LATER}") from None
    except psycopg.errors.InsufficientPrivilege as error:
        raise OfficeRefused(
            f"The office does not let this login do that ({_first_line(error)}). Whoever keeps the office "
            "can let it in: see the README. Nothing was changed."
        ) from None
    except psycopg.Error as error:
        raise OfficeRefused(f"The office refused ({_first_line(error)}). {LATER}") from None


def _first_line(error: psycopg.Error) -> str:
    """Return what the server said in short, of one line."""
    said = error.diag.message_primary or next(iter(str(error).strip().splitlines()), type(error).__name__)
    return clean(said, 200).rstrip(".")
