"""Print the handover of the open run, or of the last one when none is open, as plain text of 80 columns."""

import argparse

from console.commands.yard_folder import STORE_FILE, add_yard_argument, refuse, utc_now, yard_folder

EXAMPLE = "baywright handover --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--html", action="store_true", help="as one self-contained HTML page")


def run(arguments: argparse.Namespace) -> int:
    """Print the handover; reads only."""
    from console.desk import handover_of, load_yard_and_library
    from console.desk.bay_book import BayBook
    from console.ledger.errors import StoreError
    from console.ledger.runs import latest_run
    from console.ledger.store import LedgerReader
    from console.reports.handover import as_text
    from console.reports.handover_html import as_html
    from console.yard.yard_file import YardFileError

    folder = yard_folder(arguments)
    try:
        yard, library = load_yard_and_library(folder)
        with LedgerReader.open(folder / STORE_FILE) as reader:
            run = latest_run(reader)
            if run is None:
                refuse("no run in this yard yet: open the console, or take lines in with `baywright enter`")
            report = handover_of(reader, run.run_id, yard, utc_now(), BayBook(reader, yard, library).sums())
            print(as_html(report) if arguments.html else as_text(report))
    except (YardFileError, StoreError) as error:
        refuse(str(error))
    return 0
