"""Whether output is wanted in plain words: for a screen reader, or a person who hears it read."""

import argparse
import json
import os
from collections.abc import Iterable, Mapping

from console.reports.plain_words import WIDE, lines_in_words, said

PLAIN_VARIABLE = "BAYWRIGHT_PLAIN"
HELP = (
    "one fact a line in words, nothing drawn and nothing in columns, for screen readers "
    f"(or set ${PLAIN_VARIABLE})"
)
_asked = False


def add_plain_argument(parser: argparse.ArgumentParser, *, default: object = argparse.SUPPRESS) -> None:
    """Give a command its --plain.

    Args:
        parser: Of a command, or of the program itself.
        default: False for the program itself; a command leaves alone what stood before its name.
    """
    parser.add_argument("--plain", action="store_true", default=default, help=HELP)


def ask_for_plain(is_asked: bool) -> None:
    """Take what --plain said; every command and every report of progress asks `is_plain_mode`."""
    global _asked
    _asked = is_asked


def is_plain_mode() -> bool:
    """Return True where --plain was given or the environment variable is set to anything but 0."""
    return _asked or os.environ.get(PLAIN_VARIABLE, "") not in ("", "0")


def report_width(usual: int = 80) -> int:
    """Return for how many columns a report is laid out: in plain mode so many that nothing is folded."""
    return WIDE if is_plain_mode() else usual


def print_report(text: str | Iterable[str], marks: Mapping[str, str] | None = None) -> None:
    """Print a report as it is laid out, or in plain words.

    Args:
        text: The report, whole or in lines; laid out for `report_width` columns.
        marks: Mark at the beginning of a line -> its word in plain mode.
    """
    lines = text.splitlines() if isinstance(text, str) else list(text)
    print("\n".join(lines_in_words(lines, marks) if is_plain_mode() else lines))


def print_json(value: object) -> None:
    """Print something as one JSON object on a line of its own."""
    print(json.dumps(value, ensure_ascii=False))


def sentence(text: str) -> str:
    """Return one sentence as it is, or in plain words."""
    return said(text) if is_plain_mode() else text
