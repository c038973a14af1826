"""Save what can still be read of a damaged store, row by row, as text: one JSON object a line."""

import argparse
from pathlib import Path

from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, yard_folder
from console.ledger.keeping.salvage import salvage
from console.ledger.rows.queries import LedgerReader

EXAMPLE = "baywright salvage rows.jsonl --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("target", type=Path, metavar="FILE", help="the file to make; never overwritten")


def run(arguments: argparse.Namespace) -> int:
    """Salvage the store; 1 when some of the rows are not as they were written."""

    with LedgerReader.open(yard_folder(arguments) / STORE_FILE) as reader, progress("saving rows"):
        rows, whole = salvage(reader, arguments.target)
    print(f"{rows} rows saved to {arguments.target}, {whole} of them whole")
    return 0 if rows == whole else 1
