"""Make a yard: asks a few questions and writes a commented yard.toml into a folder.

Enter takes the answer in brackets; Ctrl C ends it with nothing written. A yard.toml
that is there already is never touched.
"""

import argparse
import shlex
import sys
import tomllib
from pathlib import Path

from console.commands.yard_folder import refuse, say
from console.ground.cleaning import clean
from console.reports.columns import cut, folded
from console.yard.new.new_yard import refuse_taken, usual_answers, write_new_yard
from console.yard.new.new_yard_questions import AnswerError, Question, questions

EXAMPLE = "baywright new my_yard\n  baywright new my_yard --yes"
WIDTH = 80
INDENT = "      "
FITS_A_SCREEN = 16
"""After more choices than this the question has left a screen of 24 rows, and is said again."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument(
        "folder", type=Path, metavar="FOLDER", help="where the yard shall live; made where it is missing"
    )
    parser.add_argument(
        "--yes", action="store_true", help="take every default, ask nothing; needs no terminal"
    )


def run(arguments: argparse.Namespace) -> int:
    """Ask, write, and say what to do next."""

    try:
        refuse_taken(arguments.folder)
        if not arguments.yes and not sys.stdin.isatty():
            refuse(
                "no terminal to ask on; --yes takes every default, and yard.toml can be changed afterwards"
            )
        answers = usual_answers() if arguments.yes else _ask_all()
        file = write_new_yard(arguments.folder, answers)
    except EOFError:
        print()
        refuse("ended before the last question; nothing was written")
    except KeyboardInterrupt:
        say("\nstopped; nothing was written")
        return 130
    print(_what_next(file))
    return 0


def _ask_all() -> dict[str, str]:
    """Return the answer to every question, each asked until it is right."""

    asked = questions()
    print(f"{len(asked)} questions. Enter takes the answer in [brackets]; Ctrl C writes nothing.")
    answers: dict[str, str] = {}
    for number, question in enumerate(asked, start=1):
        heading = f"{number:2}/{len(asked)} {question.ask}"
        print(f"\n{heading}")
        _explain(question)
        if len(question.choices) > FITS_A_SCREEN:
            print(heading)
        answers[question.key] = _answer(question, answers)
    return answers


def _explain(question: "Question") -> None:
    """Print what an answer is for, and the choices with their numbers."""

    print(_indented(question.about))
    width = max(map(len, question.choices), default=0)
    for number, (word, meaning) in enumerate(question.choices.items(), start=1):
        print(cut(f"{INDENT}{number:2}  {word.ljust(width)}  {meaning}", WIDTH))


def _answer(question: "Question", answers: dict[str, str]) -> str:
    """Return the answer to one question, asked again with what is wrong until it is right."""

    usual = question.usual_with(answers)
    prompt = _indented(f"[{usual}]") + " > "
    while True:
        typed = input(prompt)
        try:
            return question.check(typed if typed.strip() else usual, answers)
        except AnswerError as error:
            print(_indented(str(error)))


def _indented(text: str) -> str:
    """Return a text folded to the terminal, names with a dash in one piece."""
    return "\n".join(folded(text, WIDTH - 3, first=INDENT, indent=INDENT))


def _what_next(file: Path) -> str:
    """Return what was written and what to do with it."""

    where = shlex.quote(str(file.parent))
    bays = len(tomllib.loads(file.read_text(encoding="utf-8"))["bay"])
    return "\n".join(
        (
            f"written: {clean(str(file))} ({bays} bay{'s' if bays != 1 else ''})",
            "next:",
            "  1. open it in an editor: write your prices (they stand at 0) and the emergency number",
            f"  2. baywright bays --yard {where}",
            "     lists the bays with the metal that two of them take and that none takes",
            f"  3. baywright --yard {where}",
            "     opens the console",
        )
    )
