"""Show where later readings or buyers contradicted the placements: by bay, by grade, by sureness, one by one.

With --downgrade a buyer's complaint is entered against a bale, and counts from then on. What was lost is the
difference between the bay's selling and downgrade price, unless --loss says it.
"""

import argparse

from console import desk as sorters_desk
from console.commands.days import day
from console.commands.plain_mode import print_json, print_report, report_width
from console.commands.progress import progress
from console.commands.yard_folder import (
    STORE_FILE,
    add_yard_argument,
    opened_desk,
    read_yard,
    refuse,
    yard_folder,
)
from console.ground.dates import midnight
from console.ledger.views.contradictions import record_of
from console.reports.outcomes_text import outcomes_json, outcomes_text

EXAMPLE = (
    "baywright outcomes --yard demo_yard\n"
    '  baywright outcomes --downgrade T1-STN-0001 --weight "120 kg" --reason "Cu 1.4 in the melt"'
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--json", action="store_true", help="one object with everything found")
    parser.add_argument("--run", metavar="RUN", dest="run_id", help="only pieces and downgrades of this run")
    parser.add_argument("--since", metavar="DATE", type=day, help="only from this day on, such as 2026-03-01")
    entering = parser.add_argument_group("entering a downgrade")
    entering.add_argument("--downgrade", metavar="BALE", help="tag of the bale, or a bay for its newest one")
    entering.add_argument("--weight", metavar="WEIGHT", help="how much was downgraded, such as '120 kg'")
    entering.add_argument("--reason", metavar="TEXT", help="what the buyer found")
    entering.add_argument("--grade", metavar="NAME", help="what the metal turned out to be")
    entering.add_argument("--loss", metavar="MONEY", type=float, help="what it cost, in the yard's currency")
    entering.add_argument("--person", metavar="NAME", help="who enters it (default: who works the run)")


def run(arguments: argparse.Namespace) -> int:
    """Print the record, or enter a downgrade."""
    if arguments.downgrade is not None:
        return _enter(arguments)
    given = [name for name in ("weight", "reason", "grade", "loss") if getattr(arguments, name) is not None]
    if given:
        refuse(f"--{given[0]} belongs to a downgrade; name the bale with --downgrade BALE")
    return _show(arguments)


def _show(arguments: argparse.Namespace) -> int:
    with read_yard(arguments) as (yard, _, reader), progress("reading what became of the pieces"):
        start = midnight(arguments.since) if arguments.since else None
        record = record_of(reader, yard, start=start, run_id=arguments.run_id)
    if arguments.json:
        print_json(outcomes_json(record))
    else:
        print_report(outcomes_text(record, yard, report_width()))
    return 0


def _enter(arguments: argparse.Namespace) -> int:
    if not arguments.weight or not arguments.reason:
        refuse('a downgrade needs --weight and --reason, such as --weight "120 kg" --reason "Cu 1.4"')
    if not (yard_folder(arguments) / STORE_FILE).is_file():
        refuse("no store in this yard yet, so nothing was taken out of a bay that could be downgraded")
    with opened_desk(arguments) as desk:
        entered = sorters_desk.downgrade(
            desk,
            arguments.downgrade,
            arguments.weight,
            arguments.reason,
            grade=arguments.grade,
            loss=arguments.loss,
        )
    print(entered.sentence)
    return 0
