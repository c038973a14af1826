"""Read the CSV files that are dropped into a folder, and print one line per shot as it comes.

How the files are written (columns, delimiter, decimal sign) stands in yard.toml under
[readings_files]. Every row is printed once, also over restarts; files are left as they
are. Ctrl C or SIGTERM ends it. A process that is killed between a line and its mark on
disk prints that line once more: with --json both bear the same id.
"""

import argparse
import json
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from console import desk as sorters_desk
from console.commands.plain_mode import sentence
from console.commands.progress import followed, progress, signals_to
from console.commands.yard_folder import add_yard_argument, refuse, say, yard_folder
from console.ground.cleaning import clean
from console.readings.csv_rows import PieceReadings
from console.readings.files import STILL_S, WatchedFolder
from console.readings.taken_rows import JOURNAL_FILE, TakenRows
from grade_library.facts import Shot

EXAMPLE = "baywright watch /srv/readings --yard demo_yard"
PERIOD_S = 1.0
"""Time between two looks [s]."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument(
        "folder",
        nargs="?",
        type=Path,
        metavar="FOLDER",
        help="where files are dropped (default: folder of [readings_files] in yard.toml)",
    )
    parser.add_argument("--once", action="store_true", help="read what is there and end")
    parser.add_argument("--json", action="store_true", help="one JSON object per shot, a line each")


def run(arguments: argparse.Namespace) -> int:
    """Print shots as they come; 1 when something in the folder could not be read."""

    home = yard_folder(arguments)
    yard, _ = sorters_desk.load_yard_and_library(home)
    mapping = yard.readings_files
    folder = arguments.folder or (home / mapping.folder if mapping.folder else None)
    if folder is None:
        refuse("name the folder that readings go to, or write folder under [readings_files] in yard.toml")
    with TakenRows.open(home / JOURNAL_FILE) as journal:
        watched = WatchedFolder(folder, mapping, journal)
        return _watch(watched, is_once=arguments.once, as_json=arguments.json)


def _watch(watched: "WatchedFolder", *, is_once: bool, as_json: bool) -> int:
    """Poll until told to stop, or until a pass finds nothing more to wait for."""

    has_problem = False
    # A file counts as written only when it stayed the same between two looks.
    looks_left = 2 if is_once else None
    stop = threading.Event()
    # A shot is never left half-way.
    with signals_to(lambda _: stop.set()):
        while not stop.is_set():
            with progress("reading files"):
                pieces = watched.poll()
            for finding in watched.findings:
                has_problem |= finding.is_problem
                say(f"{finding.file}: {finding.text}")
            for piece in followed(pieces, "taking readings", len(pieces), unit="pieces"):
                if stop.is_set():
                    break
                _print(piece, as_json)
                watched.taken([piece])
            if looks_left is not None:
                looks_left -= 1
                if looks_left == 0 or not watched.waiting:
                    break
            stop.wait(STILL_S + 0.1 if is_once else PERIOD_S)
    if is_once:
        for file, why in watched.waiting.items():
            say(f"{clean(file)}: not read to its end: {why}")
    return 1 if has_problem or (is_once and watched.waiting) else 0


def _print(piece: "PieceReadings", as_json: bool) -> None:
    """Print the shots of a piece in one write, so that a kill leaves all of them or none."""
    lines = _json_lines(piece) if as_json else map(sentence, _text_lines(piece))
    sys.stdout.write("".join(f"{line}\n" for line in lines))
    sys.stdout.flush()


def _text_lines(piece: "PieceReadings") -> list[str]:
    """Return a line per shot: where it stands, the piece, and what was read."""
    file = clean(piece.file)
    if not piece.facts.shots:
        return [f"{file}:{piece.line}  piece {piece.piece}  bench facts only, no reading"]
    return [
        f"{file}:{line}  piece {piece.piece}  {_shot_text(shot)}"
        for (line, _), shot in zip(piece.shots_at, piece.facts.shots, strict=True)
    ]


def _shot_text(shot: "Shot") -> str:
    """Return a shot as an entry line would have it: "xrf clean Cr 18.2 Ni 8.1 Pb <0.02"."""
    reading = shot.reading
    values = sorted(reading.values.items(), key=lambda item: -item[1])
    said = [f"{symbol} {value:g}" for symbol, value in values]
    said += [f"{symbol} <{value:g}" for symbol, value in sorted(reading.below.items())]
    return f"{reading.technique}{' ground' if shot.is_ground else ''}  {' '.join(said)}"


def _json_lines(piece: "PieceReadings") -> Iterator[str]:
    """Yield a JSON object per shot, or one for a piece without."""
    about: dict[str, Any] = {"file": clean(piece.file), "piece": piece.piece}
    if not piece.facts.shots:
        yield json.dumps({"id": piece.row_ids[0], "line": piece.line, **about}, ensure_ascii=False)
    for (line, row_id), shot in zip(piece.shots_at, piece.facts.shots, strict=True):
        row = {
            "id": row_id,
            "line": line,
            **about,
            "technique": shot.reading.technique,
            "is_ground": shot.is_ground,
            "wt_pct": dict(shot.reading.values),
            "below_wt_pct": dict(shot.reading.below),
        }
        yield json.dumps(row, ensure_ascii=False)
