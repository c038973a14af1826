"""The command `baywright`: arguments and exit codes only."""

import argparse
import os
import sys
from importlib import import_module
from importlib.util import find_spec
from types import ModuleType

from console.commands import output
from console.commands.plain_mode import add_plain_argument, ask_for_plain
from console.commands.yard_folder import add_yard_argument, refuse, yard_folder
from console.ground.private_files import keep_private

COMMANDS = {
    "new": "make a yard: a few questions, then a commented yard.toml",
    "sort": "sort line by line, without a full screen: prompt, entry line, a sentence",
    "enter": "take entry lines into the open run",
    "identify": "say what a piece can be, and why",
    "tally": "print the tally of a run",
    "handover": "print the handover of a run",
    "grade": "show a grade's card",
    "audit": "check the grade library against itself",
    "bays": "list the bays with their rules, overlaps and gaps",
    "outcomes": "show where later findings or buyers contradicted a placement",
    "why": "tell why a piece was placed where it was, as it was known then",
    "office": "report for the office, or a purchase sheet, as a table, CSV, JSON or HTML",
    "price": "type a price of a bay, from when on it holds and why",
    "tell": "say prices, bay rules, people and buyers to the yards, signed by the office",
    "gather": "bring the rows to the office: a PostgreSQL that gathers all yards",
    "verify": "look whether the ledger is whole",
    "practice": "practise on invented pieces with known answers",
    "backup": "copy the store to a file that can be carried away",
    "restore": "put a backup in the place of the store",
    "salvage": "save what can be read of a damaged store",
    "check": "shoot a check sample, or say how they stand",
    "watch": "read the files an analyser drops into a folder",
    "plan": "plan the best sale: what goes to which buyer, within every limit",
    "load": "make up consignments for buyers, with their papers",
    "label": "print hold tags, bale tags and bay signs with a code to scan",
    "learned": "show the frequencies that the yard's own runs have taught",
}
"""Command -> what it does."""
_ROOMS = ("shift", "yard", "store")
"""Folders of console/commands; each command has its module in one of them."""

_VALUED = ("--yard", "--person")
"""Options before the command that take a value."""

EPILOG = (
    "Without a command the full-screen console opens on the yard, for example: baywright --yard demo_yard"
)


def command_module(name: str) -> ModuleType:
    """Return the module of a command, imported when it is asked for."""
    homes = (f"console.commands.{room}.{name}" for room in _ROOMS)
    return import_module(next(home for home in homes if find_spec(home) is not None))


def parser_for(command: str | None) -> argparse.ArgumentParser:
    """Return the argument parser; only the chosen command's module is imported, to start fast."""
    parser = argparse.ArgumentParser(
        prog="baywright",
        description="Sort scrap metal piece by piece: name it, place it, tally it, hand the shift over.",
        epilog=EPILOG,
    )
    parser.add_argument("--version", action="store_true", help="print the version and stop")
    add_yard_argument(parser, default=None)
    add_plain_argument(parser, default=False)
    parser.add_argument("--person", metavar="NAME", help="who sorts (default: the first person of yard.toml)")
    commands = parser.add_subparsers(dest="command", title="commands", metavar="COMMAND")
    for name, text in COMMANDS.items():
        sub = commands.add_parser(name, help=text, formatter_class=argparse.RawDescriptionHelpFormatter)
        if name == command:
            module = command_module(name)
            sub.description = module.__doc__
            sub.epilog = f"example:\n  {module.EXAMPLE}"
            module.add_arguments(sub)
            add_plain_argument(sub)
    return parser


def main(arguments: list[str] | None = None) -> int:
    """Run one command, or the console where none is given; return the exit status.

    The status is true: output that could not be written whole is told on standard error and is not 0.
    """
    output.begin()
    keep_private()
    # The arrays are small: more threads of the linear algebra library only cost time. Read when numpy loads.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    words = sys.argv[1:] if arguments is None else arguments
    # The word after --yard is a folder, also where that is called "new".
    pairs = zip(["", *words], words, strict=False)
    command = next((word for before, word in pairs if word in COMMANDS and before not in _VALUED), None)
    with output.told_on_failure(command or "") as ended:
        ended.status = _run(parser_for(command).parse_args(words))
    return ended.status


def _run(parsed: argparse.Namespace) -> int:
    if parsed.version:
        from importlib.metadata import version  # costs 30 ms that no other start should pay

        print(f"baywright {version('baywright')}")
        return 0
    if parsed.command is None:
        return _run_console(parsed)
    ask_for_plain(parsed.plain)
    if sys.stdout is None:
        refuse("standard output is closed: there is nowhere to answer to")
    return int(command_module(parsed.command).run(parsed))


def _run_console(parsed: argparse.Namespace) -> int:
    # What a key changes beyond its own line waits for the next frame; at 60 a second up to 17 ms.
    os.environ.setdefault("TEXTUAL_FPS", "250")
    from console.app import WANTS_NEW_YARD, run  # Textual is imported only for the full screen

    folder = yard_folder(parsed)
    ended = run(folder, parsed.person)
    if ended == WANTS_NEW_YARD:
        ended = main(["new", str(folder)]) or run(folder, parsed.person)
    return ended if isinstance(ended, int) else main([*ended, "--yard", str(folder)])


if __name__ == "__main__":
    sys.exit(main())
