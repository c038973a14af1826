"""Look whether the ledger is whole: a changed, missing or reordered row is named.

The last lines of a printed handover name the newest row and the beginning of its hash; give them with
--printed to find out whether rows were cut off at the end since. Exit status 1 when something is wrong.
"""

import argparse

from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, refuse, yard_folder
from console.ground.cleaning import clean
from console.ledger.keeping.verify import verify
from console.ledger.rows.queries import LedgerReader

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
    return 0 if found.is_whole else 1
