"""Print the tally of the open run, or of the last one when none is open: pieces and weight by bay."""

import argparse
import json

from console.commands.yard_folder import STORE_FILE, add_yard_argument, refuse, yard_folder

EXAMPLE = "baywright tally --json --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--json", action="store_true", help='{"pieces": n, "net_kg": ..., "bays": [...]}')


def run(arguments: argparse.Namespace) -> int:
    """Print the tally; reads only, and never waits for a console at work."""
    from console.desk import load_yard_and_library
    from console.ledger.errors import StoreError
    from console.ledger.store import LedgerReader
    from console.ledger.tally import latest_run, tally
    from console.reports.tally_text import tally_json, tally_text
    from console.yard.yard_file import YardFileError

    folder = yard_folder(arguments)
    try:
        yard, _ = load_yard_and_library(folder)
        with LedgerReader.open(folder / STORE_FILE) as reader:
            run = latest_run(reader)
            if run is None:
                refuse("no run in this yard yet: open the console, or take lines in with `baywright enter`")
            sums = tally(reader, run.run_id)
    except (YardFileError, StoreError) as error:
        refuse(str(error))
    if arguments.json:
        print(json.dumps(tally_json(sums, yard), ensure_ascii=False))
    else:
        print(tally_text(sums, yard))
    return 0
