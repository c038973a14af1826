"""Print how often each kind of metal is expected before anything is known of a piece.

The console mixes the usual frequencies with those of the yard's own closed runs. The
tables show the families and grades seen most, with what counts now beside the usual
share. learn_from_runs = false in yard.toml switches it off. Below them: what buyers found
of settled loads against what was estimated, and what of it counts in the bays
(learn_from_settlements = false switches it off); how often blind re-checks found a piece
where it belongs.
"""

import argparse

from console import desk as sorters_desk
from console.commands.plain_mode import print_json, print_report, report_width
from console.commands.yard_folder import STORE_FILE, add_yard_argument, yard_folder
from console.ledger.consignments.settled import settled_loads
from console.ledger.rows.queries import LedgerReader
from console.ledger.views.rechecks import rechecks_done, rechecks_drawn
from console.reports.consigning.shifts_text import shifts_json, shifts_text
from console.reports.learned_text import MOST_SHOWN, learned_json, learned_text
from console.reports.rechecks_text import rechecks_json, rechecks_text
from console.yard.loads.learning import shifts_of
from console.yard.loads.shift import Shift
from console.yard.rechecks.confusion import Recheck

EXAMPLE = "baywright learned --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--all", action="store_true", help="every family and grade, not only those seen most")
    parser.add_argument("--json", action="store_true", help="one JSON object with every family and grade")


def run(arguments: argparse.Namespace) -> int:
    """Print the frequencies; reads only, and never waits for a console at work."""

    folder = yard_folder(arguments)
    done: list[Recheck] = []
    shifts: list[Shift] = []
    drawn = 0
    yard, library = sorters_desk.load_yard_and_library(folder)
    if (folder / STORE_FILE).exists():
        with LedgerReader.open(folder / STORE_FILE) as reader:
            learned = sorters_desk.learned_of(reader, yard, library)
            done, drawn = rechecks_done(reader), rechecks_drawn(reader)
            shifts = shifts_of(settled_loads(reader, yard))
    else:
        learned = sorters_desk.learned_of(None, yard, library)
    prior, counts = learned.prior, learned.counts
    if arguments.json:
        said = learned_json(prior, counts, library, is_on=learned.is_on)
        said |= {
            "settled": shifts_json(shifts, is_on=yard.learn_from_settlements),
            "rechecks": rechecks_json(done, drawn, yard),
        }
        print_json(said)
    else:
        most = len(library.grades) if arguments.all else MOST_SHOWN
        print_report(learned_text(prior, counts, library, is_on=learned.is_on, most=most))
        if shifts:
            told = shifts_text(shifts, is_on=yard.learn_from_settlements, width=report_width())
            print_report(["", *told])
        if drawn or yard.recheck.share:
            print_report(["", *rechecks_text(done, drawn, yard, width=report_width())])
    return 0
