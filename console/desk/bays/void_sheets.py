"""The sheet of a bale that was taken back is void on disk: in its name, and across its page."""

from collections.abc import Iterator
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from console.desk.refusals import DeskRefusal
from console.desk.sheets import sheet_stem, write_or_refuse
from console.ground.dates import local
from console.ledger.rows.queries import rows_where
from console.ledger.rows.runs import of_run
from console.ledger.views.sums import corrected
from console.reports.paperwork.bale_sheet import bale_html, bale_sheet, bale_text

if TYPE_CHECKING:
    from console.desk.desk import Desk
    from console.ledger.rows.rows import Row

VOID = ".VOID"
"""In the name of a sheet, before its ending."""
SAID = "VOID. This bale was taken back in the ledger: the sheet counts for nothing."
_BAND_EVERY = 6
"""Rows of text between two bands."""
_ACROSS = (
    '<p class="strong">{said}</p>\n'
    '<div style="position: fixed; top: 35%; left: 0; width: 100%; text-align: center; font-size: 28vmin; '
    'font-weight: bold; opacity: 0.4; transform: rotate(-30deg); pointer-events: none">VOID</div>'
)
"""A fixed box is printed across every page."""


def match_sheets(desk: "Desk") -> str:
    """Bring the sheets of the open run's bales in line with the ledger; say which changed, empty for none.

    A sheet that nobody finds in the folder any more is left alone. What cannot be written is said: the paper
    is then to be destroyed by hand.
    """
    ledger, run_id = desk.ledger, desk.run().run_id
    changed = corrected(ledger, of_run(run_id))
    said = []
    for row in rows_where(ledger, "run_id = ? AND kind = 'draw-down'", (run_id,)):
        is_void = row.row_id in changed and changed[row.row_id].is_void
        try:
            moved = list(_moved(desk, row, is_void=is_void))
        except DeskRefusal as refusal:
            said.append(f"destroy its sheet by hand: {refusal}" if is_void else str(refusal))
            continue
        if moved:
            said.append(f"its sheet is {'marked void' if is_void else 'valid again'}: {' and '.join(moved)}")
    return "; ".join(said)


def _moved(desk: "Desk", row: "Row", *, is_void: bool) -> Iterator[str]:
    """Write the sheets of a draw-down as they ought to be in place of the others; yield their names."""
    sheet = bale_sheet(row, desk.yard, local(row.at_utc))
    if sheet is None:
        return
    stem = sheet_stem("bale", sheet.bale.tag)
    for suffix, text in ((".txt", bale_text(sheet)), (".html", bale_html(sheet))):
        valid, void = desk.yard.folder / f"{stem}{suffix}", desk.yard.folder / f"{stem}{VOID}{suffix}"
        there, wanted = (valid, void) if is_void else (void, valid)
        if not there.exists():
            continue
        write_or_refuse(wanted, _across(text, suffix) if is_void else text, "The sheet stays as it is.")
        _take_away(there)
        yield wanted.name


def _take_away(file: Path) -> None:
    try:
        file.unlink()
    except OSError as error:
        raise DeskRefusal(f"{file} cannot be taken away ({error.strerror}).") from error


def _across(text: str, suffix: str) -> str:
    if suffix == ".html":
        across = text.replace("<body>", f"<body>\n{_ACROSS.format(said=escape(SAID))}", 1)
        return across.replace("<title>", "<title>VOID ", 1)
    lines = text.splitlines()
    band = "  ".join(["VOID"] * 12)
    banded = [band, SAID, band]
    for start in range(0, len(lines), _BAND_EVERY):
        banded += [*lines[start : start + _BAND_EVERY], band]
    return "\n".join(banded) + "\n"
