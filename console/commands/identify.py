"""Say what a piece can be, with probabilities and reasons.

One entry line, or a CSV file of readings (rows with the same `piece` are shots on one piece).
"""

import argparse
import json
from pathlib import Path

from console.commands.plain_mode import print_report, sentence
from console.commands.progress import followed
from console.commands.yard_folder import add_yard_argument, named_yard_folder, refuse, say
from console.reports.plain_words import FOR_AND_AGAINST

EXAMPLE = 'baywright identify "12.4 m0 cr18.2 ni8.1 fe71.3"'


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
    """Print the verdict on one entry line."""
    from console.desk import consider_line, open_yardless

    known = open_yardless(named_yard_folder(arguments))
    considered = consider_line(" ".join(arguments.line), known)
    parsed, verdict = considered.parsed, considered.verdict
    from console.reports.identify_report import verdict_json, verdict_lines

    if arguments.json:
        row = verdict_json("1", verdict, considered.cautions)
        row["problems"] = list(parsed.problems)
        print(json.dumps(row, ensure_ascii=False))
    else:
        understood = "; ".join(f"{token.text} = {token.meaning}" for token in parsed.tokens)
        print(sentence(f"understood: {understood}"))
        print_report(verdict_lines(verdict, considered.cautions), FOR_AND_AGAINST)
    for problem in parsed.problems:
        say(f"not understood: {problem}")
    if parsed.asked is not None and parsed.asked.offers:
        say(f"perhaps: {', '.join(parsed.asked.offers)}")
    return 1 if parsed.problems else 0


def _identify_file(arguments: argparse.Namespace) -> int:
    """Print the verdict on every piece of a readings file."""
    from console.desk import identify_facts, open_yardless
    from console.readings.csv_rows import ReadingsFileError, pieces_of
    from console.reports.identify_report import verdict_json, verdict_lines

    known = open_yardless(named_yard_folder(arguments))
    technique = (arguments.technique or known.technique).casefold()
    if technique not in known.techniques:
        refuse(f'--technique "{technique}" is not one of {", ".join(known.techniques)}')
    try:
        lines = arguments.readings.read_text(encoding="utf-8-sig").splitlines(keepends=True)
        pieces = list(pieces_of(lines, techniques=known.techniques, technique=technique))
    except (OSError, UnicodeDecodeError) as error:
        refuse(f"{arguments.readings}: cannot be read ({error})")
    except ReadingsFileError as error:
        refuse(f"{arguments.readings}: {error}")
    for piece in followed(pieces, "identifying", len(pieces), unit="pieces"):
        verdict, cautions = identify_facts(piece.facts, known)
        if arguments.json:
            print(json.dumps(verdict_json(piece.piece, verdict, cautions), ensure_ascii=False))
        else:
            print(f"piece {piece.piece}")
            print_report(verdict_lines(verdict, cautions, most=3), FOR_AND_AGAINST)
    return 0
