"""Take entry lines into the open run, from a file or from standard input (-).

Each line that is tallied prints one line saying what it became, once it is on disk. A line that cannot be
tallied is reported with its number and reason; the good ones are kept.
"""

import argparse
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import BinaryIO

from console import desk as sorters_desk
from console.commands.output import OutputLost
from console.commands.plain_mode import sentence
from console.commands.progress import followed, undivided
from console.commands.yard_folder import add_yard_argument, opened_desk, refuse, say, tell_news
from console.ledger.rows.errors import StoreError

EXAMPLE = "baywright enter demo_yard/shift.txt --yard demo_yard"

LONGEST_LINE = 4000
"""Of an entry line [bytes]."""


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
    if arguments.file == "-" and sys.stdin is None:
        refuse("standard input is closed: there is nothing to enter")
    with opened_desk(arguments) as desk:
        tell_news(desk)
        if arguments.supplier or arguments.load:
            desk.piece.begin_load(arguments.supplier, arguments.load)
        if arguments.file == "-":
            bad = _enter(desk, followed(_lines(sys.stdin.buffer), "entering", unit="lines"))
        else:
            with Path(arguments.file).open("rb") as file:
                size = Path(arguments.file).stat().st_size
                bad = _enter(desk, followed(_lines(file), "entering", size, unit="bytes", size=len))
    return 1 if bad else 0


def _lines(stream: BinaryIO) -> Iterator[bytes]:
    """Yield line after line; of one that is too long only so much that it can be told to be."""
    while raw := stream.readline(LONGEST_LINE + 1):
        rest = raw
        while len(raw) > LONGEST_LINE and rest and not rest.endswith(b"\n"):
            rest = stream.readline(LONGEST_LINE)
        yield raw


def _answer(text: str, number: int) -> None:
    """Say what a line became.

    Raises:
        OutputLost: It cannot be said: nothing more is entered, for nobody would know of it.
    """
    try:
        print(text, flush=True)
    except OSError as error:
        raise OutputLost(
            f"line {number} is tallied and on disk, but its answer could not be written ({error.strerror}); "
            f"nothing more was entered. Go on at line {number + 1}."
        ) from error


def _enter(desk: "sorters_desk.Desk", lines: Iterable[bytes]) -> int:
    """Tally line after line; return how many could not be."""

    bad = number = number_tallied = 0
    for number, raw in enumerate(lines, start=1):
        if len(raw) > LONGEST_LINE:
            bad += 1
            say(f"line {number}: longer than {LONGEST_LINE} bytes, no entry line; not entered")
            continue
        line = raw.decode("utf-8", errors="replace").strip()
        if not line or line.startswith("#"):
            continue
        considered = desk.consider(line)
        try:
            with undivided():
                if considered.parsed.whose_load is not None:
                    begun = desk.loads.begin(considered.parsed.whose_load)
                    _answer(sentence(f"{number}: {begun.sentence}"), number)
                    continue
                # A weight alone means the piece of the line before it, never one of an earlier sitting.
                is_again = number_tallied > 0 and desk.piece.is_same_again(considered)
                act = desk.same_again if is_again else desk.tally
                answer = sentence(f"{number}: {act(considered).sentence}")
                number_tallied += 1
                _answer(answer, number)
        except sorters_desk.DeskRefusal as refusal:
            bad += 1
            say(f"line {number}: {refusal}")
        except StoreError as error:
            refuse(f"line {number}: {error} The lines before it are kept.")
    return bad
