"""Print the tally of the open run, or of the last one when none is open: pieces and weight by bay.

With --by, or with dates, the sums of all runs by bay, grade, supplier or person.
"""

import argparse
import json

from console.commands.days import add_day_arguments, say_of_impossible_dates, stretch_of
from console.commands.plain_mode import print_report, report_width
from console.commands.progress import progress
from console.commands.yard_folder import add_yard_argument, read_yard, refuse, utc_now
from console.ledger.keeping.chain_look import chain_verdict
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.runs import latest_run
from console.ledger.views.period import GroupBy, pieces_between, totals_by
from console.ledger.views.tally import tally
from console.reports.tally_text import tally_json, tally_text, totals_json, totals_text
from console.yard.yard import Yard

EXAMPLE = "baywright tally --json --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    add_day_arguments(parser)
    parser.add_argument("--by", choices=("bay", "grade", "supplier", "person"), help="sums of all runs by")
    parser.add_argument("--json", action="store_true", help='{"pieces": n, "net_kg": ..., "bays": [...]}')


def run(arguments: argparse.Namespace) -> int:
    """Print the tally; reads only, and never waits for a console at work."""
    with read_yard(arguments) as (yard, _, reader):
        with progress("verifying", unit="rows"):
            verdict = chain_verdict(reader)
        sums = _sums(arguments, reader, yard, verdict)
        say_of_impossible_dates(arguments, reader, utc_now())
    if arguments.json:
        print(sums)
    else:
        print_report(f"{sums}\nledger {verdict}")
    return 0


def _sums(arguments: argparse.Namespace, reader: "LedgerReader", yard: "Yard", verdict: str) -> str:
    if arguments.by or arguments.first or arguments.last:
        by = GroupBy(arguments.by or "bay")
        with progress("adding the pieces up"):
            pieces = pieces_between(reader, *stretch_of(arguments))
            totals = totals_by(pieces, by, called=lambda piece: piece.class_label)
            late = sum(piece.is_corrected_late for piece in pieces)
        if arguments.json:
            groups = totals_json(totals, by, late_corrections=late)
            return json.dumps({**groups, "verified": verdict}, ensure_ascii=False)
        return totals_text(totals, by, yard, report_width(), late_corrections=late)
    run = latest_run(reader)
    if run is None:
        refuse("no run in this yard yet: open the console, or take lines in with `baywright enter`")
    sums = tally(reader, run.run_id)
    if arguments.json:
        return json.dumps({**tally_json(sums, yard), "verified": verdict}, ensure_ascii=False)
    return tally_text(sums, yard, report_width())
