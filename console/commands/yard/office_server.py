"""The office on a server: made, asked for its picture of all yards, or for the rows of one terminal."""

import argparse
import json
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from console import desk as sorters_desk
from console.commands.days import OFFICE, stretch_of
from console.commands.plain_mode import print_report, report_width
from console.commands.yard_folder import STORE_FILE, YARD_FILE, refuse, utc_now, yard_folder
from console.ground.dates import local, midnight
from console.ledger.rows.queries import LedgerReader

if TYPE_CHECKING:
    from console.office.address import Address

NEEDS = 'the office needs one more package: pip install "baywright[office]"'
AHEAD = timedelta(days=365)
"""Where no last day is given everything counts, also of a clock that is ahead."""


def run_on_server(arguments: argparse.Namespace) -> int:
    """Do what was asked of the server; return the exit status."""
    if arguments.trial:
        from console.commands.yard.office_trial import trial_office

        with trial_office() as address:
            return _shown(arguments, address)
    address = address_of_office(arguments)
    return _make(address) if arguments.make else _shown(arguments, address)


def _shown(arguments: argparse.Namespace, address: "Address") -> int:
    """Show all yards, on the full screen where that was asked for."""
    if not arguments.watch:
        return _picture(arguments, address)
    from console.office_watch import watch

    return watch(address)


@contextmanager
def rows_of(arguments: argparse.Namespace, folder: Path) -> Iterator[LedgerReader]:
    """Give the rows that a report is made of: the yard's own store, or a terminal's as the office has it."""
    with ExitStack() as opened:
        if arguments.chain is None:
            yield opened.enter_context(LedgerReader.open(folder / STORE_FILE))
            return
        address = address_of_office(arguments)
        from console.office.address import connected
        from console.office.copying_back import copied_back

        office = opened.enter_context(connected(address, name="baywright office"))
        yield opened.enter_context(copied_back(office, arguments.chain))


def address_of_office(arguments: argparse.Namespace) -> "Address":
    """Return the address that --from, yard.toml or the environment names."""
    try:
        from console.office.address import address_named
    except ImportError:
        refuse(NEEDS)
    if arguments.server not in (None, OFFICE):
        return address_named(arguments.server)
    folder = yard_folder(arguments)
    in_yard = (
        sorters_desk.load_yard_and_library(folder)[0].office.server if (folder / YARD_FILE).is_file() else ""
    )
    return address_named(None, in_yard)


def _make(address: "Address") -> int:
    from console.office.address import connected
    from console.office.schema import climb

    with connected(address, name="baywright office") as office:
        before, after = climb(office)
    if before == after:
        print(f"the office ({address}) is of step {after} already; nothing was changed")
    else:
        print(f"the office ({address}) was brought from step {before} to step {after}")
    return 0


def _picture(arguments: argparse.Namespace, address: "Address") -> int:
    """Print the picture of all yards: what is open and lies there, what happened in the days asked for."""
    from console.office.address import connected
    from console.office.picture import picture_of
    from console.reports.paperwork.picture_report import picture_json, picture_text

    if arguments.form not in ("text", "json"):
        refuse(
            "the picture of all yards comes as --form text or json; with --chain N a terminal's own reports"
        )
    begin, end = stretch_of(arguments)
    with connected(address, name="baywright office") as office:
        picture = picture_of(office, start=begin or _yesterday(), end=end or utc_now() + AHEAD)
    if arguments.form == "json":
        print(json.dumps(picture_json(picture), ensure_ascii=False, indent=1))
    else:
        print_report(picture_text(picture, report_width(100)))
    return 0


def _yesterday() -> datetime:
    """Return when yesterday began: the morning report tells of the day before."""
    return midnight(local(utc_now()).date() - timedelta(days=1))
