"""Which yard a command works on."""

import argparse
import os
import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from console.ground.cleaning import told
from console.ground.errors import BaywrightError
from console.ground.in_rows import in_rows

if TYPE_CHECKING:
    from console.desk import Desk
    from console.ledger.rows.queries import LedgerReader
    from console.yard.yard import Yard
    from grade_library.library import GradeLibrary

YARD_VARIABLE = "BAYWRIGHT_YARD"
YARD_FILE = "yard.toml"
STORE_FILE = "yard.sqlite3"
GRADES_FILE = "grades.toml"


class CommandRefusal(BaywrightError):  # noqa: N818 - not an error of the program
    """A command cannot begin; the message says why and what would be right. Exit status 2."""


def add_yard_argument(parser: argparse.ArgumentParser, *, default: object = argparse.SUPPRESS) -> None:
    """Give a command its --yard.

    Args:
        parser: Of a command, or of the program itself.
        default: None for the program itself; a command leaves alone what stood before its name.
    """
    parser.add_argument(
        "--yard",
        type=Path,
        metavar="FOLDER",
        default=default,
        help=f"folder of the yard: {YARD_FILE} and the store {STORE_FILE} "
        f"(default: ${YARD_VARIABLE}, else the current folder)",
    )


def yard_folder(arguments: argparse.Namespace) -> Path:
    """Return the folder of the yard: --yard, else the environment variable, else the current folder."""
    if arguments.yard is not None:
        return Path(arguments.yard)
    return Path(os.environ.get(YARD_VARIABLE) or ".")


def named_yard_folder(arguments: argparse.Namespace) -> Path | None:
    """Return the folder for a command that needs no yard: None unless one was named or stands here."""
    if arguments.yard is not None or os.environ.get(YARD_VARIABLE):
        return yard_folder(arguments)
    return Path(".") if Path(YARD_FILE).is_file() else None


def opened_desk(arguments: argparse.Namespace) -> "AbstractContextManager[Desk]":
    """Give the desk of the yard, with its store open for writing, for who sorts; closed at the end."""
    from console.desk import Desk  # the whole desk, which a command that only reads does without

    return closing(Desk.open(yard_folder(arguments), now=utc_now, person=arguments.person))


@contextmanager
def read_yard(arguments: argparse.Namespace) -> "Iterator[tuple[Yard, GradeLibrary, LedgerReader]]":
    """Give the yard, the grades it knows and its store to be read, also while a console is at work.

    Raises:
        BaywrightError: One of them is not there or cannot be read; the message says which and why.
    """
    from console.desk.piece.known import load_yard_and_library
    from console.ledger.rows.queries import LedgerReader

    folder = yard_folder(arguments)
    yard, library = load_yard_and_library(folder)
    with LedgerReader.open(folder / STORE_FILE) as reader:
        yield yard, library, reader


def tell_news(desk: "Desk") -> None:
    """Tell what the sorter should hear of the sitting before, and from here on beside the answers to acts."""
    desk.ledger.journal.when_told = say
    for news in desk.ledger.told_at_start:
        say(news)


def utc_now() -> datetime:
    """Return the time of day that rows are stamped with."""
    return datetime.now(UTC)


def say(text: str) -> None:
    """Tell the user on standard error, so that standard output stays data."""
    print(in_rows(told(text), sys.stderr), file=sys.stderr, flush=True)


def refuse(text: str) -> NoReturn:
    """Stop a command before it began.

    Raises:
        CommandRefusal: always.
    """
    raise CommandRefusal(text)
