"""List the bays with their rules, the metal that several of them take, and the metal that none takes.

Overlaps and gaps are worked out over the whole grade library. With --template a common bay pattern is
printed, ready to be pasted at the end of a yard.toml.
"""

import argparse
import json

from console.commands.yard_folder import add_yard_argument, refuse, yard_folder

EXAMPLE = "baywright bays --yard demo_yard\n  baywright bays --template stainless-300 >> yard.toml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--json", action="store_true", help="one object: bays, overlaps, gaps")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--templates", action="store_true", help="list the bay patterns to start from")
    what.add_argument("--template", metavar="NAME", help="print one of them as TOML")


def run(arguments: argparse.Namespace) -> int:
    """Print what was asked for; reads only."""
    if arguments.templates:
        return _list_templates(as_json=arguments.json)
    if arguments.template is not None:
        return _print_template(arguments.template)
    return _bays(arguments)


def _list_templates(*, as_json: bool) -> int:
    from console.yard.templates import templates

    if as_json:
        print(json.dumps({name: one.title for name, one in templates().items()}, ensure_ascii=False))
        return 0
    width = max(map(len, templates()))
    for name, one in templates().items():
        print(f"{name.ljust(width)}  {one.title}")
    return 0


def _print_template(name: str) -> int:
    import difflib

    from console.yard.templates import templates

    one = templates().get(name.casefold())
    if one is None:
        near = difflib.get_close_matches(name.casefold(), templates(), n=1, cutoff=0.5)
        hint = f'; did you mean "{near[0]}"?' if near else f"; there are {', '.join(templates())}"
        refuse(f'no template "{name}"{hint}')
    print(one.text, end="")
    return 0


def _bays(arguments: argparse.Namespace) -> int:
    from console.desk import load_yard_and_library
    from console.yard.bays_text import bays_json, bays_text
    from console.yard.gaps import survey
    from console.yard.yard_file import YardFileError
    from grade_library.errors import GradeDataError

    try:
        yard, library = load_yard_and_library(yard_folder(arguments))
    except (YardFileError, GradeDataError) as error:
        refuse(str(error))
    found = survey(yard, library)
    if arguments.json:
        print(json.dumps(bays_json(yard, found), ensure_ascii=False))
    else:
        print("\n".join(bays_text(yard, found)))
    return 0
