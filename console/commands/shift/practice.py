"""Practise on invented pieces with known answers: the full screen and the bays of the yard, not its ledger.

Afterwards a page says what was taken for what, with keys and seconds per piece. In the console the list of
further screens and acts has the same.
"""

import argparse
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from console.commands.yard_folder import GRADES_FILE, YARD_FILE, add_yard_argument, refuse, yard_folder

EXAMPLE = "baywright practice --yard demo_yard"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)


def run(arguments: argparse.Namespace) -> int:
    """Open the console on a copy of the yard's file, without its store; the copy is thrown away."""
    from console.app import run as open_console

    folder = yard_folder(arguments)
    if not (folder / YARD_FILE).is_file():
        refuse(f"{folder / YARD_FILE}: no such file; --yard names the folder of a yard")
    with TemporaryDirectory(prefix="baywright-practice-") as copy:
        for name in (YARD_FILE, GRADES_FILE):
            if (folder / name).is_file():
                shutil.copy(folder / name, Path(copy) / name)
        status = open_console(Path(copy), practises=True)
    return status if isinstance(status, int) else 0
