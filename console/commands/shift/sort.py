"""Sort piece by piece without a full screen: a prompt, one entry line, a sentence on what it became.

The grammar is that of the console, the acts and the questions before them are those of its desk. What is no
entry line is one of a few words: "help" says them. The run stays open at the end, as it does when the console
is left, unless "close" closed it.
"""

import argparse
import sys
from typing import TYPE_CHECKING

from console.commands.output import OutputLost
from console.commands.plain_mode import sentence
from console.commands.progress import undivided
from console.commands.shift.by_line.words import LEFT
from console.commands.yard_folder import add_yard_argument, opened_desk, refuse, tell_news
from console.ground.cleaning import told

if TYPE_CHECKING:
    from console.commands.shift.by_line.session import LineByLine

EXAMPLE = "baywright sort --plain --yard demo_yard"
PROMPT = "piece: "
ANSWER = "answer: "
"""Where the line before asked something that goes on."""
LONGEST_LINE = 4000
"""Characters of one line that are looked at."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("--person", metavar="NAME", help="who sorts (default: the first person of yard.toml)")


def run(arguments: argparse.Namespace) -> int:
    """Sort until "quit" or the end of input; 1 when one or more lines were refused."""
    if sys.stdin is None:
        refuse("standard input is closed: there is nobody to answer")
    from console.commands.shift.by_line.session import LineByLine

    with opened_desk(arguments) as desk:
        tell_news(desk)
        session = LineByLine(desk)
        session.readings.watch()
        try:
            return _sort(session)
        finally:
            session.readings.stop()


def _sort(session: "LineByLine") -> int:
    _out(session.telling.greeting() + "\n")
    while not session.is_over:
        _out(PROMPT if session.asked is None else ANSWER)
        typed = sys.stdin.readline(LONGEST_LINE)
        if not typed or typed.strip().casefold() == "quit":
            _out(("" if typed else "\n") + LEFT + "\n")
            break
        with undivided():
            answer = "\n".join(filter(None, (session.answer(typed.strip()), session.readings.news())))
            _out("\n".join(told(sentence(line)) for line in answer.splitlines()) + "\n")
    return 1 if session.refused or session.asked is not None else 0


def _out(text: str) -> None:
    """Say something.

    Raises:
        OutputLost: It cannot be said: nothing more is tallied, for nobody would know of it.
    """
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except OSError as error:
        raise OutputLost(
            f"the answer could not be written ({error.strerror}); what was tallied is on disk, "
            "and no further line was taken"
        ) from error
