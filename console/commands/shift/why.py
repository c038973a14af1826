"""Tell why a piece was placed where it was: what was known when its row was written.

Facts, candidates with their probabilities and reasons, the advised bay: as the ledger kept them, whatever
has become of the grade library since.
"""

import argparse

from console.commands.yard_folder import add_yard_argument, read_yard
from console.reports.placement_text import explained, placement_text

EXAMPLE = "baywright why T1-H1 --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("piece", metavar="PIECE", help="tag of a piece on hold, or the row id of any piece")


def run(arguments: argparse.Namespace) -> int:
    """Print what was kept; reads only."""

    with read_yard(arguments) as (yard, _, reader):
        found = explained(reader, arguments.piece)
    print(placement_text(found, yard.weight_unit), end="")
    return 0
