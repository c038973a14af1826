"""Save what can still be read of a damaged store, row by row, as text: one JSON object a line."""

import argparse
from pathlib import Path

from console.commands.out_file import may_be_written
from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, yard_folder
from console.ledger.keeping.salvage import salvage

EXAMPLE = "baywright salvage rows.jsonl --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("target", type=Path, metavar="FILE", help="the file to make; never overwritten")


def run(arguments: argparse.Namespace) -> int:
    """Salvage the store; 1 when not every row that is known of was saved whole."""

    may_be_written(arguments.target, yard=yard_folder(arguments))
    with progress("saving rows"):
        saved = salvage(yard_folder(arguments) / STORE_FILE, arguments.target)
    print(f"{saved.whole} whole rows of {saved.known} saved to {arguments.target}; {saved.rows} lines in all")
    return 0 if saved.is_all else 1
