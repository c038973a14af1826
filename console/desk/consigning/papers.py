"""The papers of a consignment: which there are, each made of its sheet."""

from collections.abc import Callable, Sequence
from pathlib import Path

from console.desk.bays.bay_book import BayBook
from console.desk.done import Done
from console.desk.sheets import free_sheets, sheets_of_an_act, write_or_refuse
from console.ground.cleaning import clean
from console.ground.dates import local_day_and_time
from console.ground.figures import many
from console.ledger.consignments.consignment import Consignment
from console.ledger.consignments.sheet_of import sheet_of
from console.ledger.rows.connection import LedgerSource
from console.reports.consigning import conformity, melt_sheet, packing_list
from console.reports.consigning.conformity import NoStatement
from console.reports.consigning.paper import Paper, paper_html, paper_json, paper_text
from console.yard.loads.load_sheet import LoadSheet
from console.yard.yard import Yard

HASH_SHOWN = 16
"""Hex digits of the hash of the seal's row: enough to find the row, and to see that it is the same."""
MAKERS: dict[str, Callable[[LoadSheet, str, str], Paper]] = {
    packing_list.KIND: packing_list.packing_list,
    melt_sheet.KIND: melt_sheet.melt_sheet,
    conformity.KIND: conformity.conformity,
}
"""Kind of a paper -> what makes it of a sheet, its fingerprint and when it left."""
FORMS: dict[str, Callable[[Paper], str]] = {"txt": paper_text, "html": paper_html, "json": paper_json}
"""Ending of a file -> what writes it."""


def paper_of(own: Consignment, sheet: LoadSheet, kind: str) -> Paper:
    """Return a paper of a consignment; one that is not sealed says that it is a draft.

    Args:
        own: The consignment.
        sheet: The same, as it was sealed or stands now.
        kind: A key of MAKERS.
    """
    fingerprint = "" if own.sealed is None else own.sealed.row_hash[:HASH_SHOWN]
    sent = ""
    if own.sent is not None:
        vehicle = clean(str(own.sent.body["vehicle"]))
        sent = local_day_and_time(own.sent.at_utc) + (f", {vehicle}" if vehicle else "")
    return MAKERS[kind](sheet, fingerprint, sent)


def sheet_now(source: LedgerSource, own: Consignment, yard: Yard, book: BayBook) -> LoadSheet:
    """Return a consignment as its papers would say it, from its seal where it has one.

    Raises:
        LedgerRefusal: Its order is gone from yard.toml.
    """
    is_read = own.sealed is None and any(part.is_loose for part in own.parts)
    return sheet_of(source, own, yard, book.sums() if is_read else {})


def write_papers(
    own: Consignment, sheet: LoadSheet, folder: Path, kinds: Sequence[str] = ()
) -> Done[tuple[Path, ...]]:
    """Write papers into a folder in every form, all of them or none, never over another file.

    Args:
        own: The consignment.
        sheet: The same, as it was sealed or stands now.
        folder: Where they go.
        kinds: Which; every kind where none is named.

    Raises:
        DeskRefusal: The disk refused; nothing was written.
        NoStatement: A statement of conformity was named, and there is none for such a load.
    """
    texts: dict[Path, str] = {}
    without = ""
    for kind in kinds or tuple(MAKERS):
        try:
            paper = paper_of(own, sheet, kind)
        except NoStatement as why:
            if kinds:
                raise
            without = f". Without a statement of conformity: {why}"
            continue
        files = free_sheets(folder, kind, own.tag, tuple(f".{ending}" for ending in FORMS))
        texts |= {file: write(paper) for file, write in zip(files, FORMS.values(), strict=True)}
    with sheets_of_an_act(*texts):
        for file, text in texts.items():
            write_or_refuse(file, text, "No paper was written.")
    count = many(len(texts) // len(FORMS), "paper", "papers")
    said = f"{count} of {own.tag} written to {folder}, each as {', '.join(FORMS)}{without}"
    return Done(sentence=said, rows=(), made=tuple(texts))
