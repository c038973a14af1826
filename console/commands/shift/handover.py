"""Print the handover of the open run, or of the last one when none is open, as plain text of 80 columns.

That of an earlier run shows what was corrected since it was closed.
"""

import argparse

from console import desk as sorters_desk
from console.commands.plain_mode import print_report, report_width
from console.commands.yard_folder import add_yard_argument, read_yard, refuse, utc_now
from console.ledger.consignments.settled import with_settled
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.runs import latest_run, run_by_id, runs
from console.reports.closing.handover_text import as_html, as_text

EXAMPLE = "baywright handover --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--run", dest="run_id", metavar="RUN", help="of this run, such as T1-0001")
    parser.add_argument("--html", action="store_true", help="as one self-contained HTML page")


def run(arguments: argparse.Namespace) -> int:
    """Print the handover; reads only."""

    with read_yard(arguments) as (yard, library, reader):
        run = run_by_id(reader, arguments.run_id) if arguments.run_id else latest_run(reader)
        if run is None and arguments.run_id:
            refuse(f"no run {arguments.run_id} in this yard; {_runs_there(reader)}")
        if run is None:
            refuse("no run in this yard yet: open the console, or take lines in with `baywright enter`")
        report = sorters_desk.handover_of(
            reader,
            run.run_id,
            with_settled(reader, yard),
            utc_now(),
            sorters_desk.BayBook(reader, yard, library).sums(),
        )
        if arguments.html:
            print(as_html(report))
        else:
            print_report(as_text(report, report_width()))
    return 0


def _runs_there(reader: "LedgerReader") -> str:
    """Return which runs there are, the newest few by name."""

    there = [run.run_id for run in runs(reader)]
    return f"the newest: {', '.join(there[-5:])}" if there else "there is none yet"
