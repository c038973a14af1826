"""List the bays with their rules, the metal that several of them take, and the metal that none takes.

Overlaps and gaps are worked out over the whole grade library. With --template a common bay pattern is
printed, ready to be pasted at the end of a yard.toml.
"""

import argparse
import difflib

from console import desk as sorters_desk
from console.commands.plain_mode import print_json, print_report, report_width, sentence
from console.commands.progress import progress
from console.commands.yard_folder import add_yard_argument, read_yard, refuse, yard_folder
from console.ledger.consignments.settled import with_settled
from console.ledger.views.bay_metal import bay_metal
from console.reports.chemistry_text import chemistry_json, chemistry_text
from console.yard.new.templates import templates
from console.yard.placing.bays_text import bays_json, bays_text
from console.yard.placing.gaps import survey
from grade_library.library import GradeLibrary
from grade_library.naming.names import NameIndex

EXAMPLE = "baywright bays --yard demo_yard\n  baywright bays --template stainless-300 >> yard.toml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--json", action="store_true", help="one object: bays, overlaps, gaps")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--chemistry", action="store_true", help="what each bay is made of, against its limits")
    what.add_argument("--templates", action="store_true", help="list the bay patterns to start from")
    what.add_argument("--template", metavar="NAME", help="print one of them as TOML")
    parser.add_argument(
        "--grade",
        metavar="NAME",
        action="append",
        default=[],
        help="with --chemistry: how much of this grade each bay can still take; may be given again",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print what was asked for; reads only."""
    if arguments.templates:
        return _list_templates(as_json=arguments.json)
    if arguments.template is not None:
        return _print_template(arguments.template)
    if arguments.grade and not arguments.chemistry:
        refuse("--grade belongs to --chemistry")
    return _chemistry(arguments) if arguments.chemistry else _bays(arguments)


def _list_templates(*, as_json: bool) -> int:
    if as_json:
        print_json({name: one.title for name, one in templates().items()})
        return 0
    width = max(map(len, templates()))
    for name, one in templates().items():
        print(sentence(f"{name.ljust(width)}  {one.title}"))
    return 0


def _print_template(name: str) -> int:
    one = templates().get(name.casefold())
    if one is None:
        near = difflib.get_close_matches(name.casefold(), templates(), n=1, cutoff=0.5)
        hint = f'; did you mean "{near[0]}"?' if near else f"; there are {', '.join(templates())}"
        refuse(f'no template "{name}"{hint}')
    print(one.text, end="")
    return 0


def _bays(arguments: argparse.Namespace) -> int:
    yard, library = sorters_desk.load_yard_and_library(yard_folder(arguments))
    found = survey(yard, library)
    if arguments.json:
        print_json(bays_json(yard, found))
    else:
        print_report(bays_text(yard, found, report_width()))
    return 0


def _chemistry(arguments: argparse.Namespace) -> int:
    with read_yard(arguments) as (yard, library, reader), progress("reading what lies in the bays"):
        asked = [_grade_id(name, library) for name in arguments.grade]
        sums, yard = bay_metal(reader, yard, library), with_settled(reader, yard)
    if arguments.json:
        print_json(chemistry_json(yard, sums, library, asked_grades=asked))
    else:
        print_report(chemistry_text(yard, sums, library, asked_grades=asked, width=report_width()))
    return 0


def _grade_id(name: str, library: "GradeLibrary") -> str:
    """Return the one grade that a name means."""

    claim = NameIndex(library).resolve(name)
    if claim is None or len(claim.grade_ids) != 1 or claim.material_ids or claim.ask:
        said = "is no grade of the library" if claim is None else f"can be {len(claim.grade_ids)} grades"
        refuse(f'--grade "{name}" {said}; name one')
    return next(iter(claim.grade_ids))
