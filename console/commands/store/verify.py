"""Look whether the ledger is whole: a changed, missing or reordered row is named.

The last lines of a printed handover name the newest row and the beginning of its hash; give them with
--printed to find out whether rows were cut off at the end since. Exit status 1 when something is wrong.

Where the ledger is not as it was left (older, another one, rows changed) the console asks before work goes
on; --go-on says so here. A row of the ledger keeps who said it and what was found.
"""

import argparse
from pathlib import Path

from console import desk as sorters_desk
from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, refuse, utc_now, yard_folder
from console.ground.cleaning import clean
from console.ledger.keeping.doubts import doubts_of
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import StoreDamaged
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.trouble import told_plainly

EXAMPLE = "baywright verify --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "--printed",
        nargs=2,
        metavar=("ROW", "HASH"),
        help="newest row and its hash, as a handover printed them",
    )
    parser.add_argument(
        "--go-on", action="store_true", help="say that work goes on with the ledger as it is; a row keeps it"
    )
    parser.add_argument("--person", metavar="NAME", help="who says so (default: who works the open run)")


def run(arguments: argparse.Namespace) -> int:
    """Verify the store; 1 when something is wrong with it."""

    printed = None
    if arguments.printed:
        row, beginning = arguments.printed
        if not row.isdecimal():
            refuse(f'--printed "{row}": needs the row number first, then the hash')
        printed = (int(row), beginning)
    store = yard_folder(arguments) / STORE_FILE
    with LedgerReader.open(store) as reader, progress("verifying", unit="rows") as tell:
        found = verify(reader, printed=printed, tell=tell)
    for finding in found.findings:
        where = f"row {finding.seq}" if finding.seq is not None else "store"
        print(f"{where}: {clean(finding.what)} Expected: {clean(finding.expected)}")
    print(
        f"{found.rows} rows, {found.whole_rows} of them whole; newest {found.last_seq} {found.last_hash[:16]}"
    )
    if not found.is_whole:
        print("Back up what there is (baywright backup) and save the readable rows (baywright salvage).")
    doubts = _doubts(arguments, store)
    for doubt in doubts:
        print(f"store: {clean(doubt)}")
    return 0 if found.is_whole and not doubts else 1


def _doubts(arguments: argparse.Namespace, store: Path) -> tuple[str, ...]:
    """Return in what the ledger is not as it was left; none once somebody said that work goes on."""
    try:
        with LedgerReader.open(store) as reader, told_plainly(store):
            said = doubts_of(reader).said
    except StoreDamaged:
        return ()  # the findings say so already
    if not said or not arguments.go_on:
        return said
    desk = sorters_desk.Desk.open(store.parent, now=utc_now, person=arguments.person, go_on=True)
    print(f"{desk.person} says that work goes on with the ledger as it is; a row of it keeps that")
    desk.close()
    return ()
