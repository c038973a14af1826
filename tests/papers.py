"""Write the papers of the demo yard: `python -m tests.papers`. A test fails when they would look different.

A consignment of stainless is made up at the desk out of lines of the demo shift; the fingerprint, which hangs
on ids of chance, is left out of the comparison.
"""

import re
import shutil
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

from console.desk import Desk
from console.desk.consigning.papers import FORMS, HASH_SHOWN
from console.ledger.consignments.quality import quality_of
from console.ledger.rows.queries import last_row
from console.reports.consigning.paper import Paper
from console.reports.consigning.quality_record import quality_record
from console.reports.consigning.receipt import receipt
from console.reports.paperwork.purchase_sheet import purchase_sheet
from tests.pictures import in_utc

ROOT = Path(__file__).resolve().parent.parent
PAPERS = ROOT / "demo_yard" / "papers"
SHOWN = (".txt", ".html")
AS_JSON = ("receipt.json",)
"""Shown for machines too: one paper is enough to see the form."""
START = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
_FIGURES = re.compile(r"\d+\.\d+|(?:&gt;|>)?\d+ %")
_CHANCE = re.compile(r"[0-9a-f]{16}")


def written(folder: Path) -> dict[str, str]:
    """Return the papers of a consignment made up in a fresh yard in that folder: name -> text."""
    shutil.copy(ROOT / "demo_yard" / "yard.toml", folder)
    (folder / "readings").mkdir()
    with in_utc():
        ticks = (START + timedelta(seconds=second) for second in count())
        desk = Desk.open(folder, now=lambda: next(ticks))
        files = (*_made_up(desk), *_receipt(desk), *_quality(desk))
        desk.close()
    return {
        file.name: file.read_text(encoding="utf-8")
        for file in files
        if file.suffix in SHOWN or file.name in AS_JSON
    }


def comparable(text: str) -> str:
    """Return a paper without what hangs on chance, and without the decimals of estimates: the core learns."""
    return " ".join(_FIGURES.sub("#", _CHANCE.sub("...", text)).split())


def _made_up(desk: Desk) -> tuple[Path, ...]:
    lines = (ROOT / "demo_yard" / "shift.txt").read_text(encoding="utf-8").splitlines()
    for line in (one for one in lines if " 304 " in one):
        desk.tally(desk.consider(line), bay_code="STN")
        if "x4" not in line:
            desk.bays.draw_down("STN", "all", "bale for the furnace")
    loads = desk.consignments
    tag = loads.begin("TS2").made.tag
    loads.put(tag, ["T1-STN-0001", "T1-STN-0002", "STN=all"])
    loads.weigh(tag, "1262.8 1230")
    loads.foreign(tag, "0.05 10")
    desk.take_over("Marit")
    loads.radiation(tag, "0.08 0.10 uSv/h gate monitor")
    loads.tick(tag, "radiation yes gate monitor, no alarm")
    loads.tick(tag, "oil yes looked over at loading")
    loads.seal(tag)
    loads.send(tag, "container 7")
    return loads.papers(tag).made


def _receipt(desk: Desk) -> tuple[Path, ...]:
    """Write the receipt of a load of two metals, one of them painted, with a piece that waits."""
    desk.piece.begin_load("Elmquist & Daughter", "41")
    for line in ("14.2 304 .s +b", "8.6 yellow brass .v", "6.1 304 .t +p", "1.3 ?"):
        desk.tally(desk.consider(line))
    at = START + timedelta(hours=1)
    sheet = purchase_sheet(desk.ledger, desk.yard, at, supplier="Elmquist & Daughter", load="41")
    row = last_row(desk.ledger)
    assert row is not None, "four pieces were tallied"
    head, mark = desk.yard.papers_head, row.row_hash[:HASH_SHOWN]
    paper = receipt(desk.ledger, sheet, head, mark, vehicle="trailer behind a van", payer="Marit")
    return _in_every_form(desk, "receipt", paper)


def _quality(desk: Desk) -> tuple[Path, ...]:
    """Write the quality-monitoring record of everything so far."""
    desk.checks.shoot("316 coupon", "cr16.9 ni10.3 mo2.1 mn1.5 fe69")
    desk.bays.downgrade(desk.bays.sold()[0], "2kg", "aluminium rivets in it")
    row = last_row(desk.ledger)
    assert row is not None, "a load was sealed"
    start, end = START - timedelta(days=182), START + timedelta(days=1)
    words = f"from {start:%Y-%m-%d} to {START:%Y-%m-%d}"
    paper = quality_record(quality_of(desk.ledger, start, end), desk.yard, words, row.row_hash[:HASH_SHOWN])
    return _in_every_form(desk, "quality-record", paper)


def _in_every_form(desk: Desk, name: str, paper: Paper) -> tuple[Path, ...]:
    files = {desk.yard.folder / f"{name}.{ending}": write(paper) for ending, write in FORMS.items()}
    for file, text in files.items():
        file.write_text(text, encoding="utf-8")
    return tuple(files)


def main() -> int:
    """Write every paper; return 0."""
    PAPERS.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        for name, text in written(Path(scratch)).items():
            file = PAPERS / name
            is_same = file.is_file() and comparable(file.read_text(encoding="utf-8")) == comparable(text)
            if not is_same:
                file.write_text(text, encoding="utf-8")
            print(f"{name}: {'as before' if is_same else 'written'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
