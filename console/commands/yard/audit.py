"""Check the grade library against itself: sums, siblings, duplicates, densities, citations.

Prints what does not look right, and how many values come from which kind of source. Exit status 1 when
something was found.
"""

import argparse

from console.commands.plain_mode import print_json, print_report
from console.commands.progress import progress
from console.commands.yard_folder import GRADES_FILE, add_yard_argument, named_yard_folder
from console.reports.audit_report import audit_json, audit_lines
from grade_library.auditing.audit import audit
from grade_library.library import load

EXAMPLE = "baywright audit"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "--accepted", action="store_true", help="also list what looks odd and is known to be right"
    )
    parser.add_argument("--json", action="store_true", help="findings and counts as one JSON object")


def run(arguments: argparse.Namespace) -> int:
    """Audit the shipped grades, and the yard's own where a yard is named; 1 when something was found."""

    folder = named_yard_folder(arguments)
    with progress("auditing the grades"):
        report = audit(load(folder / GRADES_FILE if folder else None))
    if arguments.json:
        print_json(audit_json(report))
    else:
        print_report(audit_lines(report, show_accepted=arguments.accepted))
    return 0 if report.is_clean else 1
