"""Say what a piece can be, with probabilities and reasons.

One entry line, or a CSV file of readings (rows with the same `piece` are shots on one piece).
"""

import argparse
import contextlib
import functools
import itertools
import json
from collections.abc import Iterator
from pathlib import Path

from console import desk as sorters_desk
from console.commands.plain_mode import print_json, print_report, sentence
from console.commands.progress import followed
from console.commands.side_by_side import in_order
from console.commands.yard_folder import add_yard_argument, named_yard_folder, refuse, say
from console.readings.csv_rows import PieceReadings, ReadingsFileError, pieces_of
from console.reports.identify_report import verdict_json, verdict_lines
from console.reports.plain_words import FOR_AND_AGAINST
from grade_library.matcher.matching import warm
from grade_library.user_files import read_text

EXAMPLE = 'baywright identify "12.4 m0 cr18.2 ni8.1 fe71.3"'

MOST_READINGS_BYTES = 50_000_000
LONGEST_LINE = 1000
"""Characters of an entry line."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("line", nargs="*", help="an entry line (quote it, or type it as several words)")
    parser.add_argument("--readings", type=Path, metavar="FILE.csv", help="readings of many pieces")
    parser.add_argument(
        "--technique",
        metavar="NAME",
        help="technique of rows that name none: lab, xrf, libs or the yard's own",
    )
    parser.add_argument("--json", action="store_true", help="one JSON object per piece, a line each")


def run(arguments: argparse.Namespace) -> int:
    """Identify the line or the file; 1 when something of it was not understood."""
    if bool(arguments.line) == bool(arguments.readings):
        refuse("give an entry line or --readings FILE.csv, one of the two")
    return _identify_file(arguments) if arguments.readings else _identify_line(arguments)


def _identify_line(arguments: argparse.Namespace) -> int:
    line = " ".join(arguments.line)
    if len(line) > LONGEST_LINE:
        refuse(f"the line has {len(line)} characters; at most {LONGEST_LINE}")
    known = sorters_desk.open_yardless(named_yard_folder(arguments))
    considered = sorters_desk.consider_line(line, known)
    parsed, verdict = considered.parsed, considered.verdict

    room = sorters_desk.room_told(considered, known)
    if arguments.json:
        step = sorters_desk.next_step(considered, known)
        row = verdict_json("1", verdict, considered.cautions, considered.placement, step)
        row["problems"] = list(parsed.problems)
        row["room"] = list(room)
        print_json(row)
    else:
        understood = "; ".join(f"{token.text} = {token.meaning}" for token in parsed.tokens)
        print(sentence(f"understood: {understood}"))
        print_report(verdict_lines(verdict, considered.cautions), FOR_AND_AGAINST)
        if considered.placement is not None and room:
            print(sentence(f"bay {considered.placement.bay.code}: {'; '.join(room)}"))
    for problem in parsed.problems:
        say(f"not understood: {problem}")
    if parsed.asked is not None and parsed.asked.offers:
        say(f"perhaps: {', '.join(parsed.asked.offers)}")
    return 1 if parsed.problems else 0


def _identify_file(arguments: argparse.Namespace) -> int:
    known = sorters_desk.open_yardless(named_yard_folder(arguments))
    technique = (arguments.technique or known.technique).casefold()
    if technique not in known.techniques:
        refuse(f'--technique "{technique}" is not one of {", ".join(known.techniques)}')
    try:
        lines = read_text(arguments.readings, MOST_READINGS_BYTES).splitlines(keepends=True)
        pieces = list(pieces_of(lines, techniques=known.techniques, technique=technique))
    except OSError as error:
        refuse(f"{arguments.readings}: cannot be read ({error})")
    except ReadingsFileError as error:
        refuse(f"{arguments.readings}: {error}")
    # Once, before the work is shared out.
    for one in sorted({shot.reading.technique for piece in pieces for shot in piece.facts.shots}):
        warm(known.library, one, known.techniques)
    told = in_order(functools.partial(_told, known=known, as_json=arguments.json), pieces)
    with contextlib.closing(told):
        for lines in followed(_after_the_first(told), "identifying", len(pieces), unit="pieces"):
            print_report(lines, FOR_AND_AGAINST) if not arguments.json else print(*lines)
    return 0


def _told(piece: PieceReadings, *, known: "sorters_desk.Known", as_json: bool) -> list[str]:
    """Return what is said of one piece: one line of JSON, or lines for people."""
    found = sorters_desk.consider_facts(piece.facts, known, is_placed=as_json)
    if as_json:
        step = sorters_desk.next_step(found, known, with_readings=False)
        row = verdict_json(piece.piece, found.verdict, found.cautions, found.placement, step)
        return [json.dumps(row, ensure_ascii=False)]
    return [f"piece {piece.piece}", *verdict_lines(found.verdict, found.cautions, most=3)]


def _after_the_first(told: Iterator[list[str]]) -> Iterator[list[str]]:
    """Yield the same, begun before the caller begins: processes are started before a bar has its thread."""
    first = list(itertools.islice(told, 1))
    return itertools.chain(first, told)
