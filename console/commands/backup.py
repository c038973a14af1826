"""Copy the store to a file that can be carried away, also while a console works.

The copy is checked and seen onto the disk before this says that it is done.
"""

import argparse
from pathlib import Path

from console.commands.out_file import may_be_written
from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, say, yard_folder
from console.ground.cleaning import clean
from console.ledger.keeping.backup import backup
from console.ledger.keeping.verify import verify
from console.ledger.rows.reading import LedgerReader

EXAMPLE = "baywright backup /media/stick --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "target", type=Path, metavar="FILE|FOLDER", help="where the copy goes; never overwritten"
    )


def run(arguments: argparse.Namespace) -> int:
    """Back the store up; 1 when the copy is made, and holds a row that is not as it was written."""
    folder = yard_folder(arguments)
    target = arguments.target / STORE_FILE if arguments.target.is_dir() else arguments.target
    if folder.resolve() in target.resolve().parents or target.is_symlink():
        may_be_written(target, yard=folder)
    with progress("copying and checking"):
        copy = backup(folder / STORE_FILE, arguments.target)
        with LedgerReader.open(copy) as reader:
            found = verify(reader)
    if found.is_whole:
        print(f"copied and checked: {copy}, verified to row {found.last_seq}")
        return 0
    first = found.findings[0]
    print(f"copied: {copy}, NOT VERIFIED: row {first.seq or '-'}: {clean(first.what)}")
    say("the copy is what the store is; it is not whole: see baywright verify")
    return 1
