"""Print the tags of holds, bales and consignments, and bay signs, with a code that a scanner reads.

The code holds letters A to Z and digits only, so that it comes out alike on any keyboard: T1-H7 is scanned
as T1H7. An HTML page prints on A4 and on Letter; --form svg writes one label as an image.
"""

import argparse
from pathlib import Path

from console import desk as sorters_desk
from console.commands.out_file import add_overwrite_argument, writing_out
from console.commands.yard_folder import STORE_FILE, add_yard_argument, refuse, yard_folder
from console.ledger.rows.queries import LedgerReader
from console.reports.labels.code import CodeKind
from console.reports.labels.gathered import bay_label, hold_labels, tagged_label
from console.reports.labels.label import Label, label_svg, labels_html
from console.yard.yard import Yard

EXAMPLE = (
    "baywright label --holds --yard demo_yard > tags.html\n  baywright label --bay ALO --form svg > sign.svg"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("tags", nargs="*", metavar="TAG", help="of a piece on hold, a bale or a consignment")
    parser.add_argument("--holds", action="store_true", help="the tag of every piece that waits on hold")
    parser.add_argument("--bay", metavar="CODE", action="append", default=[], help="the sign of this bay")
    parser.add_argument("--bays", action="store_true", help="the sign of every bay")
    parser.add_argument(
        "--code", choices=tuple(CodeKind), default=CodeKind.QR.value, help="which code (default: qr)"
    )
    parser.add_argument("--form", choices=("html", "svg"), default="html", help="form (default: html)")
    parser.add_argument("--out", type=Path, metavar="FILE", help="write to a file instead of the terminal")
    add_overwrite_argument(parser)


def run(arguments: argparse.Namespace) -> int:
    """Write the labels; reads the ledger only."""
    folder = yard_folder(arguments)
    yard, _ = sorters_desk.load_yard_and_library(folder)
    labels, kind = _labels(arguments, yard), CodeKind(arguments.code)
    if not labels:
        refuse("which labels? Name tags, or say --holds, --bay CODE or --bays")
    if arguments.form == "svg" and len(labels) > 1:
        refuse(f"--form svg writes one label, not {len(labels)}; --form html takes any number")
    svg = arguments.form == "svg"
    text = label_svg(labels[0], kind) if svg else labels_html(labels, kind, yard.name)
    if arguments.out is None:
        print(text)
        return 0
    with writing_out(arguments.out, yard=folder, overwrite=arguments.overwrite) as stream:
        stream.write(text)
    print(f"written: {arguments.out}")
    return 0


def _labels(arguments: argparse.Namespace, yard: Yard) -> list[Label]:
    """Return what was asked for; the store is opened only for what stands in it."""
    labels: list[Label] = []
    if arguments.tags or arguments.holds:
        with LedgerReader.open(yard.folder / STORE_FILE) as reader:
            labels += [tagged_label(reader, yard, tag) for tag in arguments.tags]
            labels += hold_labels(reader, yard) if arguments.holds else []
            if arguments.holds and not labels:
                refuse("no piece waits on hold")
    try:
        signs = [yard.bay(code) for code in arguments.bay]
    except KeyError as error:
        refuse(str(error.args[0]))
    return labels + [bay_label(bay) for bay in (yard.bays if arguments.bays else signs)]
