"""What the run before, or the person before, left for whoever works from here on."""

from typing import TYPE_CHECKING

from console.desk.checking import controls_of
from console.desk.closing import run_difference, signed_remarks, unfinished
from console.desk.done import Done, done
from console.ground.dates import local
from console.ledger.rows.queries import rows_where
from console.ledger.rows.rows import RowKind
from console.ledger.views.lying import lying_now
from console.ledger.views.piece_state import waiting_pieces
from console.ledger.views.tally import tally
from console.reports.check_text import control_sentence
from console.reports.closing.bay_watch import bay_watch
from console.reports.closing.handover import handover
from console.reports.closing.handover_text import text_of_what_is_left
from console.yard.coupons.check_state import ControlState

if TYPE_CHECKING:
    from console.desk.desk import Desk


class Left:
    """Holds, notes, lots, check samples and how the run before was closed, until they were seen."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    @property
    def is_due(self) -> bool:
        """Whether something was left for who works now, and they have not said yet that they saw it."""
        kinds = self._kinds()
        if kinds[-1] is RowKind.SEEN:
            return False
        return kinds[-1] is RowKind.TAKE_OVER or bool(self._desk.review.run_before())

    def text(self, width: int) -> str:
        """Return what was left, for so many columns, at least 60."""
        desk, is_same_run = self._desk, RowKind.TAKE_OVER in self._kinds()
        ledger, yard = desk.ledger, desk.yard
        run_id = desk.run().run_id if is_same_run else desk.review.run_before() or desk.run().run_id
        sums, now = tally(ledger, run_id), desk.now()
        watched = desk.bays.book.sums() if desk.bays.book.is_ready else {}
        report = handover(
            sums,
            (),
            yard,
            run_difference(ledger, sums, yard),
            local(now),
            earlier_holds=waiting_pieces(ledger),
            bay_watch=bay_watch(yard, lying_now(ledger), watched),
            checks=[
                control_sentence(one)
                for one in controls_of(ledger, yard, now)
                if one.state is not ControlState.IN_CONTROL
            ],
            unfinished=unfinished(ledger, run_id, yard.weight_unit),
            remarks=signed_remarks(ledger, run_id),
        )
        return text_of_what_is_left(report, width)

    def see(self) -> Done[None]:
        """Keep that who works now has seen it."""
        row = self._desk.ledger.append(RowKind.SEEN, person=self._desk.person, body={})
        return done(f"{self._desk.person} has seen what was left", row)

    def _kinds(self) -> list[RowKind]:
        """Return how the run came from hand to hand, oldest first: opened, taken over, seen."""
        asked = (RowKind.OPEN, RowKind.TAKE_OVER, RowKind.SEEN)
        rows = rows_where(
            self._desk.ledger, "run_id = ? AND kind IN (?, ?, ?)", (self._desk.run().run_id, *map(str, asked))
        )
        return [row.kind for row in rows]
