"""A bale, box or load is taken out of a bay: its row, its tag, its sheet."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from console.desk.bays.void_sheets import VOID
from console.desk.done import Done
from console.desk.refusals import DeskRefusal, known_bay, mass_typed
from console.desk.sheets import (
    MARK,
    free_sheets,
    mark_sheets_without_row,
    sheet_stem,
    sheets_of_an_act,
    write_or_refuse,
)
from console.ground.cleaning import clean
from console.ground.dates import local
from console.ledger.keeping.store import Ledger
from console.ledger.rows.trouble import told_plainly
from console.ledger.views.bay_metal import bales_before
from console.reports.paperwork.bale_sheet import bale_html, bale_sheet, bale_text
from console.yard.chemistry.bale import Bale, bale_body, bale_of, next_bale_tag

if TYPE_CHECKING:
    from console.desk.desk import Desk

EVERYTHING = "all"


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnDown:
    """A bale that lies on disk."""

    bale: Bale
    text: str
    """Its sheet."""
    files: tuple[Path, ...]
    """The sheet as text and as HTML in the yard's folder."""


def draw_down(desk: "Desk", bay_code: str, weight: str, reason: str) -> Done[DrawnDown]:
    """Take metal out of a bay by a new row and write its sheet; return once both are on disk.

    Args:
        desk: With an open run.
        bay_code: The bay.
        weight: What it weighs on the scale, as typed; "all" for everything that lies there by the ledger,
            "all 812kg" for everything, which weighs so much.
        reason: Where it goes.

    Raises:
        DeskRefusal: No such bay, it is the hold bay, it is empty by the ledger, the weight cannot be read, or
            the sheets cannot be written.
        LedgerRefusal: No run is open.
        StoreError: The disk refused; nothing was written.
    """
    bay = known_bay(bay_code, desk.yard)
    if bay.is_hold:
        raise DeskRefusal("Pieces on hold go one by one: resolve or move them in the review.")
    sums = desk.bays.book.sums()[bay.code]
    mass_g, empties = _weight(desk, weight, round(sums.mass_g))
    tag = free_tag(desk, bay.code)
    bale = bale_of(bay, sums, mass_g, tag, empties=empties)
    files = free_sheets(desk.yard.folder, "bale", tag, (".txt", ".html"))
    # The row counts once both sheets are on the disk: no bale leaves the yard without.
    with sheets_of_an_act(*files), desk.ledger.act():
        row = desk.ledger.draw_down(
            bay.code, mass_g, desk.person, reason=clean(reason).strip(), body=bale_body(bale)
        )
        sheet = bale_sheet(row, desk.yard, local(row.at_utc))
        assert sheet is not None, "the row was just written with its bale"
        text = bale_text(sheet)
        for file, said in zip(files, (text, bale_html(sheet)), strict=True):
            write_or_refuse(file, said, "Nothing was drawn down.")
    desk.history.record(row)
    named = " and ".join(file.name for file in files)
    return Done(
        sentence=f"write {tag} on it; the sheet is in {named}",
        rows=(row,),
        made=DrawnDown(bale=bale, text=text, files=files),
    )


def free_tag(desk: "Desk", bay_code: str) -> str:
    """Return the next tag of a bay's bales; one that stands on a sheet in the folder is not given again."""
    terminal = desk.yard.terminal
    earlier = bales_before(desk.ledger, bay_code, terminal)
    while any(
        desk.yard.folder.glob(f"{sheet_stem('bale', next_bale_tag(terminal, bay_code, earlier))}[.-]*")
    ):
        earlier += 1
    return next_bale_tag(terminal, bay_code, earlier)


def mark_sheets_without_bale(ledger: Ledger, folder: Path) -> None:
    """Mark the sheets of bales that no row of the ledger took out."""
    sheets = {file.stem for file in folder.glob("bale-*.txt")}
    if not sheets:
        return
    with told_plainly(ledger.path):
        rows = ledger.connection.execute(
            "SELECT json_extract(body, '$.bale') FROM ledger WHERE seq IN "
            "(SELECT seq FROM ledger INDEXED BY ledger_by_run WHERE kind = 'draw-down')"
        )
        taken = {sheet_stem("bale", str(tag)) for (tag,) in rows}
    for stem in sheets:
        if stem.removesuffix(VOID) not in taken and not stem.endswith(MARK):
            mark_sheets_without_row(folder, "bale", stem.removeprefix("bale-"))


def _weight(desk: "Desk", typed: str, lying_g: int) -> tuple[int, bool]:
    """Return the weight [g], and whether nothing stays behind."""
    words = typed.strip()
    empties = words.casefold().startswith(EVERYTHING)
    rest = words[len(EVERYTHING) :].strip() if empties else words
    if empties and not rest:
        if lying_g <= 0:
            raise DeskRefusal("The bay is empty by the ledger; type what the scale says.")
        return lying_g, True
    return mass_typed(rest, desk.yard), empties
