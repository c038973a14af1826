"""Sort piece by piece without a full screen: a prompt, one entry line, a sentence on what it became.

The grammar is that of the console, and the acts are those of its desk. What is no entry line: "look LINE"
says what a line would become and tallies nothing; "undo", "redo", "tally", "last", "note TEXT", "help",
"quit". The run stays open at the end, as it does when the console is left.
"""

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from console.commands.output import OutputLost
from console.commands.plain_mode import sentence
from console.commands.progress import undivided
from console.commands.yard_folder import add_yard_argument, refuse, say, utc_now, yard_folder
from console.desk import Desk
from console.entry.editing.asking import answered, question
from console.ground.cleaning import told
from console.ground.errors import BaywrightError
from console.ground.figures import many
from console.ground.mass import format_mass
from console.ledger.rows.errors import StoreError
from grade_library.cautions import Level

if TYPE_CHECKING:
    from console.desk import Consideration
    from console.entry.parsed import ParsedLine

EXAMPLE = "baywright sort --plain --yard demo_yard"
PROMPT = "piece: "
GREETING = "{person} sorts, {entries} in this run. help tells what can be typed; quit leaves."
HELP = (
    "One piece, one line: weight, what you see, Enter, such as 12.4 304. A weight alone is the same again. "
    "? is hold. look LINE says what it would become. undo, redo, tally, last, note TEXT, quit."
)
NO_WEIGHT = "Not done: the weight is missing; type it anywhere on the line, such as 12.4 or 820g."
STOP = "STOP. {title}: {text} Not tallied yet: the same line once more says that you have read this."
NOTHING_YET = "There is no piece in this run yet."
LEFT = "Left; the run stays open."
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
    desk = Desk.open(yard_folder(arguments), now=utc_now, person=arguments.person)
    desk.ledger.journal.when_told = say
    for news in desk.ledger.told_at_start:
        say(news)
    try:
        return _sort(LineByLine(desk))
    finally:
        desk.close()


def _sort(session: "LineByLine") -> int:
    _out(session.greeting() + "\n")
    while True:
        _out(PROMPT)
        typed = sys.stdin.readline(LONGEST_LINE)
        if not typed:
            _out("\n" + LEFT + "\n")
            return 1 if session.refused else 0
        if typed.strip().casefold() == "quit":
            _out(LEFT + "\n")
            return 1 if session.refused else 0
        with undivided():
            _out(told(sentence(session.answer(typed.strip()))) + "\n")


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


class LineByLine:
    """A sitting at the desk in lines: each is answered in one sentence."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._asked: ParsedLine | None = None
        """The line about a word of which was asked."""
        self._stop_read_for = ""
        """The line for which the STOP was read out."""
        self.refused = 0
        """Lines that were not done."""
        self._acts: dict[str, Callable[[str], str]] = {
            "help": lambda _: HELP,
            "look": self._look,
            "undo": lambda _: desk.undo().sentence,
            "redo": lambda _: desk.redo().sentence,
            "tally": lambda _: self._tally(),
            "last": lambda _: self._last(),
            "note": lambda text: desk.note(text).sentence if text else "A note needs words: note TEXT.",
        }

    def greeting(self) -> str:
        """Return who sorts, and how many entries the run has."""
        return GREETING.format(person=told(self._desk.person), entries=self._desk.sums().entries)

    def answer(self, line: str) -> str:
        """Do what a line says; return what came of it, or why nothing did.

        Raises:
            StoreError: The disk refused; nothing further can be kept.
        """
        word, _, rest = line.partition(" ")
        act = self._acts.get(word.casefold())
        try:
            return act(rest.strip()) if act is not None else self._piece(line)
        except StoreError:
            raise
        except BaywrightError as refusal:
            return self._refused(f"Not done: {refusal}")

    def _refused(self, why: str) -> str:
        self.refused += 1
        return why

    def _piece(self, line: str) -> str:
        """Tally a line, or ask what keeps it from being tallied."""
        asked, self._asked = self._asked, None
        if asked is not None and (reply := answered(asked, line)) is not None:
            line = reply
        considered = self._desk.consider(self._desk.piece.habit.in_full(line))
        parsed = considered.parsed
        if parsed.is_blank:
            return HELP
        if parsed.asked is not None and parsed.problems:
            self._asked = parsed
            return question(parsed)
        if parsed.mass_g is None and not parsed.problems:
            return self._refused(NO_WEIGHT)
        stop = next((one for one in considered.cautions if one.level is Level.STOP), None)
        if parsed.can_be_tallied and stop is not None and self._stop_read_for != parsed.line:
            self._stop_read_for = parsed.line
            return STOP.format(title=stop.title, text=stop.say)
        self._stop_read_for = ""
        if self._desk.piece.is_same_again(considered):
            return self._desk.same_again(considered).sentence
        return self._desk.tally(considered).sentence + _careful(considered)

    def _look(self, line: str) -> str:
        """Say what a line would become."""
        considered = self._desk.consider(self._desk.piece.habit.in_full(line))
        parsed = considered.parsed
        if parsed.problems:
            return self._refused(f"Not clear: {parsed.problems[0]}")
        understood = ", ".join(token.meaning for token in parsed.tokens) or "nothing typed"
        bay = self._desk.piece.bay(considered)
        where = f"; Enter would put it into {bay.code}" if bay is not None else ""
        leading = considered.verdict.leading
        named = f"; most likely {leading.grade_id}, {leading.probability:.2f}" if leading is not None else ""
        return f"{understood}{named}{where}."

    def _tally(self) -> str:
        unit = self._desk.yard.weight_unit
        bays = [
            f"{one.bay} {many(one.pieces, 'piece', 'pieces')} {format_mass(one.mass_g, unit)}"
            for one in self._desk.sums().bays
        ]
        return f"{', '.join(bays)}." if bays else NOTHING_YET

    def _last(self) -> str:
        label = self._desk.piece.last_label
        return f"The last piece: {label}." if label else NOTHING_YET


def _careful(considered: "Consideration") -> str:
    """Return the most urgent caution below a STOP, after what was tallied; empty where there is none."""
    first = next(iter(considered.cautions), None)
    return "" if first is None else f" {first.level.value.capitalize()}, {first.title.lower()}: {first.say}"
