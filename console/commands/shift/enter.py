"""Take entry lines into the open run, from a file or from standard input (-).

Each line that is tallied prints one line saying what it became, once it is on disk. A line that cannot be
tallied is reported with its number and reason; the good ones are kept.
"""

import argparse
import sys
from collections.abc import Iterable
from pathlib import Path

from console.commands.plain_mode import sentence
from console.commands.progress import followed, undivided
from console.commands.yard_folder import add_yard_argument, refuse, say, utc_now, yard_folder
from console.desk import Desk, DeskRefusal
from console.ledger.rows.errors import StoreError

EXAMPLE = "baywright enter demo_yard/shift.txt --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("file", metavar="FILE", help="entry lines, one piece a line; - for standard input")
    parser.add_argument(
        "--supplier", default="", metavar="NAME", help="who brought the load these pieces are of"
    )
    parser.add_argument("--load", default="", metavar="NAME", help="which load of the supplier")
    parser.add_argument("--person", metavar="NAME", help="who sorts (default: the first person of yard.toml)")


def run(arguments: argparse.Namespace) -> int:
    """Enter the lines; 1 when one or more of them could not be tallied."""

    if arguments.file != "-" and not Path(arguments.file).is_file():
        refuse(f"{arguments.file}: no such file")
    desk = Desk.open(yard_folder(arguments), now=utc_now, person=arguments.person)
    if arguments.supplier or arguments.load:
        desk.begin_load(arguments.supplier, arguments.load)
    try:
        if arguments.file == "-":
            bad = _enter(desk, followed(sys.stdin.buffer, "entering", unit="lines"))
        else:
            with Path(arguments.file).open("rb") as file:
                size = Path(arguments.file).stat().st_size
                bad = _enter(desk, followed(file, "entering", size, unit="bytes", size=len))
    finally:
        desk.close()
    return 1 if bad else 0


def _enter(desk: "Desk", lines: Iterable[bytes]) -> int:
    """Tally line after line; return how many could not be."""

    bad = number = 0
    for number, raw in enumerate(lines, start=1):
        line = raw.decode("utf-8", errors="replace").strip()
        if not line or line.startswith("#"):
            continue
        considered = desk.consider(line)
        try:
            with undivided():
                print(sentence(f"{number}: {desk.tally(considered).sentence}"), flush=True)
        except DeskRefusal as refusal:
            bad += 1
            say(f"line {number}: {refusal}")
        except StoreError as error:
            refuse(f"line {number}: {error} The lines before it are kept.")
    return bad
