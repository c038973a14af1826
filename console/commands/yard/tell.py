"""Say prices, bay rules, people and buyers to yards: signed here, pulled by `baywright gather`.

The FILE is written as a yard.toml is, with nothing in it but what is said: `currency` and [[bay]] tables with
their `code` and the keys that change, `people` (all of them), [[buyer]] tables (all of them). A terminal
takes it at the next start of its console as rows of its own ledger; against its yard.toml it stands in the
parts that `[office] wins` names there ("prices", "bays", "people", "buyers").

The key is the office's alone: a file that BAYWRIGHT_OFFICE_KEY names, else the usual place. --make-key makes
it and prints the line for each yard.toml.
"""

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from console.commands.yard.office_server import NEEDS, address_of_office
from console.commands.yard_folder import GRADES_FILE, add_yard_argument, refuse
from console.ground.cleaning import clean

if TYPE_CHECKING:
    from console.office.address import Connection

EXAMPLE = 'baywright tell prices.toml --to "Marlstone Siding Metals" --person Ilse --from service=baywright'


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    parser.add_argument("file", nargs="?", type=Path, metavar="FILE", help="what is said, as in a yard.toml")
    parser.add_argument("--to", nargs="+", metavar="YARD", help="names of yards, as their yard.toml has them")
    parser.add_argument("--person", metavar="NAME", help="who says it")
    parser.add_argument("--from", dest="server", metavar="ADDRESS", help="the office's server")
    parser.add_argument("--make-key", action="store_true", help="make the office's key")


def run(arguments: argparse.Namespace) -> int:
    """Say a file to yards, or make the key."""
    try:
        import cryptography  # noqa: F401 - extras that not every terminal has
        import psycopg  # noqa: F401
    except ImportError:
        refuse(NEEDS)
    from console.office.words.signing import key_file, make_key

    if arguments.make_key:
        file = key_file()
        line = make_key(file)
        print(f"the office's key lies in {clean(str(file))}; keep a copy where nobody else comes")
        print(f'in each yard.toml, under [office]: keys = ["{line}"]')
        return 0
    if not (arguments.file and arguments.to and (arguments.person or "").strip()):
        refuse("needs: baywright tell FILE --to YARD --person NAME (or --make-key)")
    return _tell(arguments, _text_of(arguments))


def _text_of(arguments: argparse.Namespace) -> str:
    """Return what is said, after a look whether a yard can take it."""
    import tomli_w

    from console.office.words.checking import must_be_sayable
    from console.yard.file.yard_file import read_toml
    from grade_library.library import load

    table: Mapping[str, Any] = read_toml(arguments.file)
    text = tomli_w.dumps(table)
    must_be_sayable(text, load(Path(arguments.yard or ".") / GRADES_FILE))
    return text


def _tell(arguments: argparse.Namespace, text: str) -> int:
    """Put the text to each yard, signed."""
    from console.office.address import connected

    with connected(address_of_office(arguments), name="baywright tell") as office:
        for yard in dict.fromkeys(arguments.to):
            number = _put(office, yard, arguments.person.strip(), text)
            print(f"{clean(yard)}: word {number} is at the office; its terminals pull it when they gather")
    return 0


def _put(office: "Connection", yard: str, person: str, text: str) -> int:
    """Sign a word for a yard and have the office keep it; return its number."""
    from console.office.words.signing import key_file, private_key, signed
    from console.office.words.wire import put, said_so_far

    after = said_so_far(office, yard)
    word = signed(private_key(key_file()), yard=yard, person=person, said=text, after=after)
    put(office, word)
    return word.number
