"""The bays of the yard at the desk: what lies in them, and taking metal out."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from console.desk.bays.baling import DrawnDown, draw_down
from console.desk.bays.bay_book import BayBook
from console.desk.bays.downgrading import downgrade, money_typed, usual_loss
from console.desk.done import Done
from console.desk.refusals import mass_typed
from console.ledger.rows.rows import Row
from console.ledger.views.bay_metal import DRAWN_DOWN
from console.ledger.views.lying import lying_now
from console.ledger.views.piece_state import standing_rows
from console.reports.chemistry_text import chemistry_text
from console.yard.placing.bays_text import bays_text
from console.yard.placing.gaps import survey

if TYPE_CHECKING:
    from console.desk.desk import Desk


class Bays:
    """What lies where, by the ledger."""

    def __init__(self, desk: "Desk") -> None:
        self.book = BayBook(desk.ledger, desk.yard, desk.library)
        """Sums and headroom of every bay."""
        self._desk = desk

    def lying(self) -> Mapping[str, int]:
        """Return what lies in every bay now [g], over all runs."""
        return lying_now(self._desk.ledger)

    def rules(self, width: int) -> str:
        """Return every bay with its rules, overlaps and gaps, for so many columns."""
        yard = self._desk.yard
        return "\n".join(bays_text(yard, survey(yard, self._desk.library), width))

    def chemistry(self, width: int) -> str:
        """Return what the bays hold against their buyers' limits, for so many columns."""
        return chemistry_text(self._desk.yard, self.book.sums(), self._desk.library, width=width)

    def draw_down(self, bay_code: str, weight: str, reason: str) -> Done[DrawnDown]:
        """Take a bale, box or load out of a bay; see baling.draw_down."""
        return draw_down(self._desk, bay_code, weight, reason)

    def sold(self) -> list[Row]:
        """Return the rows of what was drawn down and not voided since, newest first."""
        return standing_rows(self._desk.ledger, DRAWN_DOWN)[::-1]

    def usual_loss(self, sold: Row, weight: str) -> float:
        """Return what a downgrade of so much of a bale costs by the bay's prices [currency].

        Raises:
            DeskRefusal: The weight cannot be read, or the bay is gone from yard.toml.
        """
        return usual_loss(self._desk.yard, sold.bay or "", mass_typed(weight, self._desk.yard))

    def downgrade(self, sold: Row, weight: str, reason: str, loss: str = "") -> Done[None]:
        """Enter a complaint, its loss as typed or empty for the usual; see downgrading.downgrade."""
        lost = money_typed(loss) if loss else None
        return downgrade(self._desk, sold.row_id, weight, reason, loss=lost)
