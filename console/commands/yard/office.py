"""Report for the office: weight, share and value by bay and grade, downgrades, readings, stock.

With --supplier and --purchase a purchase sheet for the supplier's load at the yard's buying prices; with
--receipt the receipt of it, which says the vehicle and who pays.

With --from and the address of a server ("office" for the one that yard.toml names): the picture of all yards
that `baywright gather` brings rows of; runs closed and metal sold are those since yesterday, or of the days
asked for. With --chain N as well: the reports of one terminal, at the prices of the yard.toml here.
"""

import argparse
import json
import sys
from pathlib import Path

from console import desk as sorters_desk
from console.commands.days import DayOrServer, add_day_arguments, say_of_impossible_dates, stretch_of
from console.commands.out_file import add_overwrite_argument, may_be_written, writing_out
from console.commands.plain_mode import print_report, report_width
from console.commands.progress import progress
from console.commands.yard.office_server import rows_of, run_on_server
from console.commands.yard_folder import add_yard_argument, refuse, say, utc_now, yard_folder
from console.desk.consigning.papers import HASH_SHOWN
from console.ground.dates import local
from console.ledger.rows.connection import one_view
from console.ledger.rows.queries import LedgerReader, last_row
from console.reports.consigning.paper import paper_html, paper_json, paper_text
from console.reports.consigning.receipt import receipt
from console.reports.paperwork import office, purchase_sheet
from console.reports.paperwork.office_report import OfficeScope, office_report
from console.reports.paperwork.office_text import as_text
from console.yard.yard import Yard

EXAMPLE = "baywright office --form html --out report.html --yard demo_yard"
FORMS = ("csv", "json", "html", "text")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    add_yard_argument(parser)
    add_day_arguments(parser, first=DayOrServer)
    parser.add_argument(
        "--chain", type=int, metavar="N", help="of a server: the reports of one terminal, by its number there"
    )
    parser.add_argument("--watch", action="store_true", help="all yards on the full screen, as rows come")
    parser.add_argument(
        "--trial", action="store_true", help="an office with three invented yards on this machine"
    )
    parser.add_argument("--make", action="store_true", help="make or upgrade the office on the server")
    parser.add_argument("--run", dest="run_id", metavar="RUN", help="one run only, such as T1-0001")
    parser.add_argument("--supplier", metavar="NAME", help="one supplier only")
    parser.add_argument("--load", metavar="NAME", help="one load of the supplier only")
    parser.add_argument(
        "--purchase", action="store_true", help="a purchase sheet for the supplier (text or html)"
    )
    parser.add_argument("--receipt", action="store_true", help="a receipt for the supplier")
    parser.add_argument("--vehicle", metavar="WORDS", default="", help="of a receipt: by what it came")
    parser.add_argument("--payer", metavar="NAME", default="", help="of a receipt: who pays")
    parser.add_argument("--form", choices=FORMS, help="form of the report (a table on a terminal, else json)")
    parser.add_argument("--out", type=Path, metavar="FILE", help="write to a file instead of the terminal")
    add_overwrite_argument(parser)


def run(arguments: argparse.Namespace) -> int:
    """Write the report."""
    arguments.form = arguments.form or _usual_form(arguments)
    is_asked = arguments.make or arguments.trial or arguments.watch or arguments.server is not None
    if is_asked and arguments.chain is None:
        return run_on_server(arguments)
    if (arguments.purchase or arguments.receipt) and not arguments.supplier:
        refuse(f"{'--receipt' if arguments.receipt else '--purchase'} needs --supplier NAME")
    folder = yard_folder(arguments)
    if arguments.out is not None:
        may_be_written(arguments.out, yard=folder, overwrite=arguments.overwrite)
    yard, _ = sorters_desk.load_yard_and_library(folder)
    with rows_of(arguments, folder) as reader:
        say_of_impossible_dates(arguments, reader, utc_now())
        paper = _receipt if arguments.receipt else _purchase if arguments.purchase else _report
        text = paper(arguments, reader, yard)
    if arguments.out is None:
        (print_report if arguments.form == "text" else print)(text)
        return 0
    try:
        # newline="" keeps the line ends of CSV as the format asks for them.
        encoding = "utf-8-sig" if arguments.form == "csv" else "utf-8"
        with writing_out(
            arguments.out, yard=folder, overwrite=arguments.overwrite, encoding=encoding, newline=""
        ) as stream:
            stream.write(text)
    except OSError as error:
        refuse(f"{arguments.out}: cannot be written ({error.strerror})")
    print(f"written: {arguments.out}")
    return 0


def _usual_form(arguments: argparse.Namespace) -> str:
    """Return the form where none is asked for: a table for eyes, JSON for a file or a pipe."""
    is_read = arguments.out is None and sys.stdout.isatty()
    return "text" if arguments.purchase or arguments.receipt or is_read else "json"


def _report(arguments: argparse.Namespace, reader: "LedgerReader", yard: "Yard") -> str:
    begin, end = stretch_of(arguments)
    scope = OfficeScope(
        start=begin, end=end, run_id=arguments.run_id, supplier=arguments.supplier, load=arguments.load
    )
    with progress("making the report", 100, unit="%") as tell:
        report = office_report(reader, yard, local(utc_now()), scope, tell=tell)
        if arguments.form == "csv":
            say(f"ledger {report.verified}")
        if arguments.form == "text":
            return as_text(report, report_width(), has_money=yard.show_money)
        if arguments.form == "json":
            return json.dumps(office.as_json(report), ensure_ascii=False, indent=1)
        return office.as_csv(report) if arguments.form == "csv" else office.as_html(report)


def _purchase(arguments: argparse.Namespace, reader: "LedgerReader", yard: "Yard") -> str:
    if arguments.form not in ("text", "html"):
        refuse("the purchase sheet comes as --form text or --form html")
    sheet = _sheet(arguments, reader, yard)
    if arguments.form == "html":
        return purchase_sheet.as_html(sheet)
    return purchase_sheet.as_text(sheet, report_width())


def _receipt(arguments: argparse.Namespace, reader: "LedgerReader", yard: "Yard") -> str:
    """Return the receipt in the form asked for; one of a supplier of whom nothing stands is refused."""

    forms = {"text": paper_text, "html": paper_html, "json": paper_json}
    if arguments.form not in forms:
        refuse(f"the receipt comes as --form {', '.join(forms)}")
    with one_view(reader):
        sheet, newest = _sheet(arguments, reader, yard), last_row(reader)
        if newest is None or not (sheet.lines or sheet.holds):
            of_load = f", load {arguments.load}" if arguments.load else ""
            refuse(f"nothing stands of supplier {arguments.supplier}{of_load}; there is nothing to receipt")
        paper = receipt(
            reader,
            sheet,
            yard.papers_head,
            newest.row_hash[:HASH_SHOWN],
            vehicle=arguments.vehicle,
            payer=arguments.payer,
        )
    return forms[arguments.form](paper)


def _sheet(
    arguments: argparse.Namespace, reader: "LedgerReader", yard: "Yard"
) -> purchase_sheet.PurchaseSheet:
    """Return what the supplier is paid for the load asked for."""
    return purchase_sheet.purchase_sheet(
        reader, yard, local(utc_now()), supplier=arguments.supplier, load=arguments.load
    )
