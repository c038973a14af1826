"""The handover to read: of the run so far, or of the one just closed."""

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual.content import Content

from console.screens.text_screen import TextScreen

if TYPE_CHECKING:
    from console.desk import Desk

SO_FAR = "Handover of the run so far"
CLOSED = "Run closed. Handover in {name}; Esc begins the next run"


def handover_so_far(desk: "Desk", at: datetime) -> TextScreen:
    """Return the handover as it would be written now."""
    from console.desk import handover_of
    from console.reports.closing.handover import as_text

    report = handover_of(
        desk.ledger, desk.run().run_id, desk.yard, at, desk.bay_book.sums(), seen=desk.ledger.chain_seen
    )
    return TextScreen(SO_FAR, Content(as_text(report)), opened_by="handover")


def handover_of_closed_run(file: Path) -> TextScreen:
    """Return the handover that was just written."""
    return TextScreen(CLOSED.format(name=file.name), Content(file.read_text(encoding="utf-8")))
