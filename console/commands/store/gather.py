"""Bring the rows of this terminal, or of several folders, to the office: a PostgreSQL that gathers all yards.

The terminal's ledger stays the truth and never waits for the office. Whatever cuts a gather off, the next one
goes on where it ended: nothing is lost, nothing is there twice. Exit status 1 where something is left to do.

What the office says to the yard (`baywright tell`) is pulled as well, checked, and taken at the next start.

The office is named by --office, by yard.toml ([office] server = "...") or by the variable BAYWRIGHT_OFFICE.
"""

import argparse
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from console import desk as sorters_desk
from console.commands.progress import progress
from console.commands.yard.office_server import NEEDS
from console.commands.yard_folder import STORE_FILE, add_yard_argument, refuse, say, yard_folder
from console.ground.cleaning import clean
from console.ground.errors import BaywrightError
from console.ledger.rows.queries import LedgerReader
from console.office.beside import give_way

if TYPE_CHECKING:
    from console.yard.yard import Yard

EXAMPLE = "baywright gather --office postgresql://t1@office.example/baywright --yard demo_yard"
UNITS_S = {"s": 1, "m": 60, "h": 3600}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("folders", nargs="*", type=Path, metavar="FOLDER", help="yards (default: --yard)")
    parser.add_argument("--office", metavar="ADDRESS", help="the office's server, without a password")
    parser.add_argument("--check", action="store_true", help="compare every row; write nothing")
    parser.add_argument("--every", type=_seconds, metavar="TIME", help="again and again, such as every 5m")
    parser.add_argument(
        "--accept", type=int, metavar="CHAIN", help="say which way of a ledger counts that went two ways"
    )
    parser.add_argument("--person", metavar="NAME", help="who says so")


def _seconds(text: str) -> int:
    """Return a stretch of time as typed [s].

    Raises:
        ArgumentTypeError: It is none.
    """
    number, unit = text[:-1], text[-1:]
    if not number.isdecimal() or unit not in UNITS_S or int(number) == 0:
        raise argparse.ArgumentTypeError(f'"{clean(text, 20)}" is no time; needs 30s, 5m or 1h')
    return int(number) * UNITS_S[unit]


def run(arguments: argparse.Namespace) -> int:
    """Gather every folder; 1 when something is left to do."""
    try:
        import psycopg  # noqa: F401 - an extra that not every terminal has
    except ImportError:
        refuse(NEEDS)
    folders = arguments.folders or [yard_folder(arguments)]
    if arguments.accept is not None:
        return _accept(arguments, folders[0])
    act = _compare if arguments.check else _gather
    if arguments.every:
        give_way()
    status = max(_told(folder, arguments.office, act) for folder in folders)
    while arguments.every:
        time.sleep(arguments.every)
        status = max(_told(folder, arguments.office, act) for folder in folders)
    return status


def _told(folder: Path, typed: str | None, act: "Callable[[Yard, LedgerReader, str | None], bool]") -> int:
    """Do one folder and return its status; what cannot be is told in a line; then the next."""
    try:
        yard, _ = sorters_desk.load_yard_and_library(folder)
        with LedgerReader.open(folder / STORE_FILE) as reader:
            return 0 if act(yard, reader, typed) else 1
    except BaywrightError as error:
        say(f"baywright gather: {clean(str(folder))}: {error}")
        return 1


def _gather(yard: "Yard", reader: LedgerReader, typed: str | None) -> bool:
    """Bring a yard's rows to the office and pull what it says; return whether nothing is left to do."""
    from console.office.address import address_named, connected
    from console.office.gathering import Place, gather
    from console.office.telling import told_of_gathered, told_of_pulled
    from console.office.words.wire import pull

    place = Place(yard=yard.name, terminal=yard.terminal, currency=yard.currency)
    with (
        connected(address_named(typed, yard.office.server), name=f"baywright {yard.terminal}") as office,
        progress("gathering", unit="rows") as tell,
    ):
        done = gather(reader, office, place, tell=tell)
        heard = pull(reader, office, yard)
    _print(yard, [*told_of_gathered(done), *told_of_pulled(heard)])
    return done.is_done and not heard.refused


def _compare(yard: "Yard", reader: LedgerReader, typed: str | None) -> bool:
    """Compare a yard's rows with the office; return whether they are even."""
    from console.office.address import address_named, connected
    from console.office.comparing import compare
    from console.office.telling import told_of_compared

    with connected(address_named(typed, yard.office.server)) as office, progress("comparing"):
        found = compare(reader, office)
    _print(yard, told_of_compared(found))
    return found.is_even


def _print(yard: "Yard", lines: list[str]) -> None:
    for line in lines:
        print(f"{clean(yard.name)} {clean(yard.terminal)}: {line}", flush=True)


def _accept(arguments: argparse.Namespace, folder: Path) -> int:
    """Write down which way of a forked ledger counts."""
    from console.office.address import address_named, connected
    from console.office.forks import accept

    in_yard = "" if arguments.office else sorters_desk.load_yard_and_library(folder)[0].office.server
    with connected(address_named(arguments.office, in_yard)) as office:
        print(clean(accept(office, arguments.accept, arguments.person or "")))
    return 0
