"""Make up consignments: several bales, boxes and loose amounts of bays that go to one buyer.

  list                      every consignment
  show TAG                  its parts, composition against the order's limits, what would help
  new ORDER                 begin one for an order of a buyer of yard.toml
  put TAG PART ...          bales by their tags; a loose amount of a bay as AXC=400kg or AXC=all
  take TAG PART ...         take parts out again
  weigh TAG GROSS [TARE]    what it weighs as a whole on the truck scale
  foreign TAG FOUND SAMPLE  foreign material weighed out of a sample
  tick TAG CRITERION yes|no [WORDS]  what the person says of a criterion nobody can reckon
  radiation TAG BACKGROUND HIGHEST UNIT INSTRUMENT
  seal TAG                  it never changes from here on; loose parts leave their bays
  send TAG [VEHICLE]        it left
  found TAG WORD ...        what the buyer found: net=2680kg cu=0.27 yield=94 paid=4900.50 lost=120; words
  settled [TAG]             estimate against finding, and the bias by bay and element over all (--json)
  quality                   quality-monitoring record of the yard (--from, --to, --form; else six months)
  papers TAG                print one (--paper, --form), or write all of them (--out FOLDER)

A limit that is not met, or metal that the order refuses, needs --despite "the reason"; papers print it.
"""

import argparse
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from console import desk as sorters_desk
from console.commands.days import add_day_arguments, stretch_of
from console.commands.plain_mode import print_json, print_report, report_width
from console.commands.progress import progress, undivided
from console.commands.yard_folder import (
    STORE_FILE,
    add_yard_argument,
    opened_desk,
    read_yard,
    refuse,
    utc_now,
    yard_folder,
)
from console.desk.consigning.papers import FORMS, HASH_SHOWN, MAKERS, paper_of, sheet_now, write_papers
from console.desk.desk import Desk
from console.desk.done import Done
from console.ground.dates import local
from console.ledger.consignments.quality import quality_of
from console.ledger.consignments.settled import settled_loads
from console.ledger.consignments.standing import consignment_named, consignments
from console.ledger.rows.queries import LedgerReader, last_row
from console.reports.consigning.load_text import list_text, load_text
from console.reports.consigning.paper import Paper
from console.reports.consigning.quality_record import quality_record
from console.reports.consigning.settlement_text import settlement_json, settlement_text
from console.yard.yard import Yard

EXAMPLE = (
    "baywright load new RX1 --yard demo_yard\n"
    "  baywright load put T1-C1 T1-AXC-0001 AXC=400kg --yard demo_yard\n"
    "  baywright load papers T1-C1 --paper packing-list --form html > list.html"
)
SIX_MONTHS = timedelta(days=183)
NO_STORE = "no store in this yard yet, so there is nothing that could leave it"
ALL_OF_THEM = "which paper? Name it with --paper ({known}), or write all of them with --out FOLDER"
_READ = ("list", "show", "settled", "quality", "papers")
_OF_ALL = ("list", "settled", "quality")
"""What needs no tag."""
_ACTS: dict[str, Callable[[Desk, list[str], str], Done[object]]] = {
    "new": lambda desk, words, _: desk.consignments.begin(" ".join(words)),
    "put": lambda desk, words, why: desk.consignments.put(words[0], words[1:], why),
    "take": lambda desk, words, _: desk.consignments.take(words[0], words[1:]),
    "weigh": lambda desk, words, _: desk.consignments.weigh(words[0], " ".join(words[1:])),
    "foreign": lambda desk, words, _: desk.consignments.foreign(words[0], " ".join(words[1:])),
    "tick": lambda desk, words, _: desk.consignments.tick(words[0], " ".join(words[1:])),
    "radiation": lambda desk, words, _: desk.consignments.radiation(words[0], " ".join(words[1:])),
    "seal": lambda desk, words, why: desk.consignments.seal(words[0], why),
    "send": lambda desk, words, _: desk.consignments.send(words[0], " ".join(words[1:])),
    "found": lambda desk, words, _: desk.consignments.found(words[0], " ".join(words[1:])),
}
"""Word -> the act, from the desk, the words behind it and the reason."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("do", nargs="?", default="list", choices=(*_READ, *_ACTS), help="what to do")
    parser.add_argument("words", nargs="*", metavar="WORD", help="tag of the consignment, parts, weights")
    parser.add_argument("--despite", default="", metavar="REASON", help="why it goes all the same")
    parser.add_argument("--paper", choices=tuple(MAKERS), help="which paper")
    parser.add_argument("--form", choices=tuple(FORMS), default="txt", help="its form (default: txt)")
    parser.add_argument("--out", type=Path, metavar="FOLDER", help="write papers there, in every form")
    add_day_arguments(parser)
    parser.add_argument("--json", action="store_true", help="settled loads as one JSON object")
    parser.add_argument("--person", metavar="NAME", help="who does it (default: who works the open run)")


def run(arguments: argparse.Namespace) -> int:
    """Do it, and say what came of it."""
    folder = yard_folder(arguments)
    if not (folder / STORE_FILE).is_file():
        refuse(NO_STORE)
    if arguments.do not in _OF_ALL and not arguments.words:
        refuse(f"load {arguments.do}: which one? See baywright load --help")
    if arguments.do in _READ:
        return _look(arguments)
    with opened_desk(arguments) as desk, undivided():
        done = _ACTS[arguments.do](desk, arguments.words, arguments.despite)
    print(done.sentence)
    return 0


def _look(arguments: argparse.Namespace) -> int:
    """Print what there is; reads only, also while a console is at work."""
    with read_yard(arguments) as (yard, library, reader):
        if arguments.do == "list":
            print_report(list_text(list(consignments(reader).values()), yard.weight_unit))
            return 0
        if arguments.do == "quality":
            print(FORMS[arguments.form](_quality(arguments, reader, yard)), end="")
            return 0
        if arguments.do == "settled":
            return _settled(arguments, reader, yard)
        own = consignment_named(reader, arguments.words[0])
        with progress("reading what lies in the bays"):
            sheet = sheet_now(reader, own, yard, sorters_desk.BayBook(reader, yard, library))
        found = [one for one in settled_loads(reader, yard) if one.tag == own.tag]
    if arguments.do == "show":
        print_report(load_text(sheet, own.state.value, report_width()))
        if found:
            print_report(["", *settlement_text(found, own.tag, report_width())])
    elif arguments.out is not None:
        kinds = [arguments.paper] if arguments.paper else []
        print(write_papers(own, sheet, arguments.out, kinds).sentence)
    elif arguments.paper is None:
        refuse(ALL_OF_THEM.format(known=", ".join(MAKERS)))
    else:
        print(FORMS[arguments.form](paper_of(own, sheet, arguments.paper)), end="")
    return 0


def _settled(arguments: argparse.Namespace, reader: LedgerReader, yard: Yard) -> int:
    """Print estimate against finding."""
    tag = consignment_named(reader, arguments.words[0]).tag if arguments.words else ""
    settled = settled_loads(reader, yard)
    if arguments.json:
        told = [one for one in settled if not tag or one.tag == tag]
        print_json(settlement_json(told))
    else:
        print_report(settlement_text(settled, tag, report_width()))
    return 0


def _quality(arguments: argparse.Namespace, reader: LedgerReader, yard: Yard) -> Paper:
    """Return the record of the days asked for, else of the last six months."""
    start, end = stretch_of(arguments)
    if start is None and end is None:
        start = utc_now() - SIX_MONTHS
    words = [f"from {local(start):%Y-%m-%d}"] if start else []
    words += [f"to {arguments.last}"] if end else []
    newest = last_row(reader)
    fingerprint = newest.row_hash[:HASH_SHOWN] if newest else ""
    return quality_record(quality_of(reader, start, end), yard, " ".join(words), fingerprint)
