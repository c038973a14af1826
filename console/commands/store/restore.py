"""Put a backup in the place of the store. A store that lies there is kept beside it, never thrown away.

What the present store holds beyond the backup is told first, by rows, pieces and weight, and asked for: on a
terminal by a question, elsewhere by --lose with the number of rows.
"""

import argparse
import sys
from pathlib import Path

from console import desk as sorters_desk
from console.commands.progress import end_all, progress, undivided
from console.commands.yard_folder import STORE_FILE, add_yard_argument, refuse, say, utc_now, yard_folder
from console.ground.errors import BaywrightError
from console.ledger.keeping.backup import restore
from console.ledger.keeping.going_back import going_back, going_back_text
from console.ledger.rows.errors import StoreDoubted

EXAMPLE = "baywright restore /media/stick/yard.sqlite3 --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("copy", type=Path, metavar="FILE", help="the backup")
    parser.add_argument(
        "--overwrite", action="store_true", help="replace the store; the old one is set aside"
    )
    parser.add_argument(
        "--lose", type=int, metavar="ROWS", help="how many rows of the present store may be lost, as told"
    )
    parser.add_argument(
        "--unverified",
        type=int,
        default=0,
        metavar="ROWS",
        help="how many rows of the backup may be other than they were written, as told",
    )
    parser.add_argument("--person", metavar="NAME", help="who goes back (default: who works the open run)")


def run(arguments: argparse.Namespace) -> int:
    """Restore the store."""

    store = yard_folder(arguments) / STORE_FILE
    if arguments.overwrite:
        _ask(arguments.copy, store, arguments.lose)
    with progress("checking and copying"):
        restore(
            arguments.copy,
            store,
            at=utc_now(),
            overwrite=arguments.overwrite,
            unverified=arguments.unverified,
            undivided=undivided,
        )
    print(f"restored: {store}")
    try:
        _consent(store, arguments.person)
    except BaywrightError as error:
        say(f"the next start will ask whether work goes on with it ({error})")
    return 0


def _consent(store: Path, person: str | None) -> None:
    """Keep by a row who went back, where the ledger was known to be longer or another one."""
    try:
        sorters_desk.Desk.open(store.parent, now=utc_now, person=person).close()
    except StoreDoubted as doubted:
        desk = sorters_desk.Desk.open(store.parent, now=utc_now, person=person, go_on=True)
        for doubt in doubted.doubts:
            say(doubt)
        print(f"{desk.person} went back to it; a row of the ledger keeps that")
        desk.close()


def _ask(copy: Path, store: Path, agreed: int | None) -> None:
    """Tell what would be lost, and refuse unless it is agreed to."""
    with progress("comparing"):
        lost = going_back(copy, store)
    text = going_back_text(lost)
    if not text or (agreed is not None and agreed == lost.rows):
        return
    end_all()
    say(text)
    if lost.unreadable:
        if agreed is not None:
            return
        how = "nothing was touched; say --lose 0 to go back all the same"
    else:
        how = f"nothing was touched; say --lose {lost.rows} to go back all the same"
    if agreed is None and sys.stdin is not None and sys.stdin.isatty():
        say("Type yes to go back all the same.")
        if sys.stdin.readline().strip().casefold() == "yes":
            return
    refuse(how)
