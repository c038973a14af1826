"""Type a price of a bay: a new row of the ledger, from a moment of the open run on, with its reason.

  baywright price BAY sells=1.90 [buys=1.40] [downgrade=0.95] --reason WORDS [--since "2026-03-02 14:30"]

Prices are per kg in the currency of yard.toml; one that is not named stays as it was. Without --since the
price holds from now on; with it, from then on, as far back as the last closed run: what lies in closed runs
keeps its value. A price that was typed wrong is typed again. Reports that it touches say what was corrected
and why. It holds until yard.toml or the office says another; advice at the line goes by yard.toml.
"""

import argparse

from console.commands.progress import undivided
from console.commands.yard_folder import add_yard_argument, opened_desk
from console.desk.bays.pricing import type_price

EXAMPLE = 'baywright price AXC sells=1.90 --reason "the buyer called" --yard demo_yard'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("bay", metavar="BAY", help="code of the bay")
    parser.add_argument("words", nargs="+", metavar="PRICE", help="sells=1.90, buys=1.40, downgrade=0.95")
    parser.add_argument("--reason", default="", metavar="WORDS", help="why; it stands in the reports")
    parser.add_argument("--since", default="", metavar="TIME", help="from when on it holds (default: now)")
    parser.add_argument("--person", metavar="NAME", help="who types it (default: who works the open run)")


def run(arguments: argparse.Namespace) -> int:
    """Write the price and say it."""
    with opened_desk(arguments) as desk, undivided():
        done = type_price(desk, arguments.bay, arguments.words, arguments.reason, arguments.since)
    print(done.sentence)
    return 0
