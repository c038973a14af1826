"""Plan the best sale: which bales and bays to which orders of buyers, within every limit.

Takes the loose metal of the bays, and every bale that lies in no consignment; sells to the orders of
yard.toml that take metal today, each with its steps and what is left of its tonnage, and to the buyers
of the bays. Says what each limit costs, what stays and why, and what one more check would be worth.
Needs the extra: pip install 'baywright[plan]'.
"""

import argparse

from console import desk as sorters_desk
from console.commands.days import day
from console.commands.plain_mode import print_json, print_report, report_width
from console.commands.progress import progress, undivided
from console.commands.yard_folder import add_yard_argument, opened_desk, read_yard, say, utc_now
from console.ground.dates import local
from console.ledger.consignments.for_sale import sale_of
from console.reports.paperwork.plan_text import plan_json, plan_text
from console.yard.selling.apart import Search
from console.yard.selling.plan import SECONDS

EXAMPLE = "baywright plan --yard demo_yard\n  baywright plan --bale T1-ALO-0001 --confidence 0.9 --json"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "--bale",
        metavar="TAG",
        action="append",
        help="of the bales only this; may be given again (default: every one in no consignment)",
    )
    parser.add_argument("--only-bales", action="store_true", help="leave the loose metal where it lies")
    parser.add_argument(
        "--confidence", type=float, default=0.95, metavar="P", help="of each limit of each load (0.95)"
    )
    parser.add_argument(
        "--seconds", type=float, default=SECONDS, metavar="S", help=f"time for the search ({SECONDS:g})"
    )
    parser.add_argument(
        "--today", type=day, metavar="DATE", help="as if it were that day, for orders that end"
    )
    parser.add_argument(
        "--draft", action="store_true", help="begin a consignment for every order, with its parts in it"
    )
    parser.add_argument("--person", metavar="NAME", help="who does it (default: who works the open run)")
    parser.add_argument("--json", action="store_true", help="one JSON object")


def run(arguments: argparse.Namespace) -> int:
    """Print the plan; reads only, but for the drafts that it is asked for."""
    with read_yard(arguments) as (yard, library, reader):
        with progress("reading what lies in the bays"):
            sums = {} if arguments.only_bales else sorters_desk.BayBook(reader, yard, library).sums()
        sale = sale_of(
            reader,
            yard,
            sums,
            arguments.today or local(utc_now()).date(),
            confidence=arguments.confidence,
            bales=arguments.bale,
            with_loose=not arguments.only_bales,
        )
    with progress("looking for the best sale"):
        plan = Search(sale, min(600.0, max(0.2, arguments.seconds))).found()
    if arguments.json:
        print_json(plan_json(plan))
    else:
        print_report(plan_text(plan, yard.currency, yard.weight_unit, report_width()))
    if arguments.draft:
        with opened_desk(arguments) as desk, undivided():
            done = desk.planning.draft(plan)
        say(done.sentence)
    return 0
