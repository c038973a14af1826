"""Plan the best sale: which bays and bales to which buyers, within every limit.

Takes the loose metal of the bays, and bales by tag. Says what each limit costs, what stays and why, and
what one more check would be worth. Needs the extra: pip install 'baywright[plan]'.
"""

import argparse

from console.commands.plain_mode import print_json, print_report, report_width
from console.commands.progress import progress
from console.commands.yard_folder import STORE_FILE, add_yard_argument, yard_folder
from console.desk import load_yard_and_library
from console.ledger.rows.queries import LedgerReader
from console.ledger.views.bay_metal import bay_metal
from console.ledger.views.leaving.for_sale import bale_sources, loose_sources
from console.reports.paperwork.plan_text import plan_json, plan_text
from console.yard.selling.outlets import outlets_of
from console.yard.selling.plan import SECONDS, best_sale
from console.yard.selling.sale import Sale

EXAMPLE = "baywright plan --yard demo_yard\n  baywright plan --bale T1-ALO-0001 --confidence 0.9 --json"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "--bale", metavar="TAG", action="append", default=[], help="a bale to sell too; may be given again"
    )
    parser.add_argument("--only-bales", action="store_true", help="leave the loose metal where it lies")
    parser.add_argument(
        "--confidence", type=float, default=0.95, metavar="P", help="of each limit of each load (0.95)"
    )
    parser.add_argument(
        "--seconds", type=float, default=SECONDS, metavar="S", help=f"time for the search ({SECONDS:g})"
    )
    parser.add_argument("--json", action="store_true", help="one JSON object")


def run(arguments: argparse.Namespace) -> int:
    """Print the plan; reads only."""
    folder = yard_folder(arguments)
    yard, library = load_yard_and_library(folder)
    with LedgerReader.open(folder / STORE_FILE) as reader:
        bales = bale_sources(reader, yard, arguments.bale)
        with progress("reading what lies in the bays"):
            loose = () if arguments.only_bales else loose_sources(yard, bay_metal(reader, yard, library))
    sale = Sale(sources=(*bales, *loose), outlets=outlets_of(yard), confidence=arguments.confidence)
    with progress("looking for the best sale"):
        plan = best_sale(sale, seconds=min(600.0, max(0.2, arguments.seconds)))
    if arguments.json:
        print_json(plan_json(plan))
    else:
        print_report(plan_text(plan, yard.currency, yard.weight_unit, report_width()))
    return 0
