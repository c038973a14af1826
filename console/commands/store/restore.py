"""Put a backup in the place of the store. A store that lies there is kept beside it, never thrown away."""

import argparse
from pathlib import Path

from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, utc_now, yard_folder
from console.ledger.keeping.backup import restore

EXAMPLE = "baywright restore /media/stick/yard.sqlite3 --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("copy", type=Path, metavar="FILE", help="the backup")
    parser.add_argument(
        "--overwrite", action="store_true", help="replace the store; the old one is set aside"
    )


def run(arguments: argparse.Namespace) -> int:
    """Restore the store."""

    store = yard_folder(arguments) / STORE_FILE
    with progress("checking and copying"):
        restore(arguments.copy, store, at=utc_now(), overwrite=arguments.overwrite)
    print(f"restored: {store}")
    return 0
