"""Copy the store to a file that can be carried away, also while a console works.

The copy is checked and seen onto the disk before this says that it is done.
"""

import argparse
from pathlib import Path

from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, yard_folder
from console.ledger.keeping.backup import backup

EXAMPLE = "baywright backup /media/stick --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "target", type=Path, metavar="FILE|FOLDER", help="where the copy goes; never overwritten"
    )


def run(arguments: argparse.Namespace) -> int:
    """Back the store up."""

    with progress("copying and checking"):
        copy = backup(yard_folder(arguments) / STORE_FILE, arguments.target)
    print(f"copied and checked: {copy}")
    return 0
