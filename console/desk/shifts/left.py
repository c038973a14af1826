"""What the run before, or the person before, left for whoever works from here on."""

from dataclasses import replace
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
from console.reports.closing.handover_report import HandoverReport
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
        """Return what was left, for so many columns, at least 60.

        Where a run was taken over before anybody saw what the run before it left, both are told.
        """
        desk, kinds = self._desk, self._kinds()
        before, unit = desk.review.run_before(), desk.yard.weight_unit
        newest = desk.run().run_id if RowKind.TAKE_OVER in kinds or not before else before
        report = self._report(newest)
        if newest == before or not before or RowKind.SEEN in kinds:
            return text_of_what_is_left(report, width)
        own = unfinished(desk.ledger, newest, unit)
        older = replace(
            self._report(before),
            # Told above: they are not of one run.
            holds=(),
            earlier_holds=(),
            bay_watch=(),
            checks=(),
            unfinished=tuple(one for one in unfinished(desk.ledger, before, unit) if one not in own),
        )
        return f"{text_of_what_is_left(report, width)}\n{text_of_what_is_left(older, width)}"

    def _report(self, run_id: str) -> HandoverReport:
        """Return the handover of a run, as it stands now."""
        desk = self._desk
        ledger, yard, now = desk.ledger, desk.yard, desk.now()
        sums = tally(ledger, run_id)
        watched = desk.bays.book.sums() if desk.bays.book.is_ready else {}
        return handover(
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
