"""A second look at pieces that the ledger drew: blind, at the end of the run."""

from typing import TYPE_CHECKING

from console.desk.done import Done
from console.desk.piece.considering import Consideration
from console.desk.refusals import DeskRefusal, refuse_unclear
from console.ground.cleaning import clean
from console.ledger.rows.queries import last_row
from console.ledger.rows.rows import RowKind
from console.ledger.views.rechecks import DueRecheck, due_rechecks, rechecks_done, rechecks_drawn
from console.reports.rechecks_text import rechecks_text
from console.yard.placing.placement import Sureness
from console.yard.rechecks.chosen import is_chosen
from console.yard.rechecks.confusion import Recheck
from console.yard.yard import Bay

if TYPE_CHECKING:
    from console.desk.desk import Desk

NEEDS_A_CHECK = (
    "A re-check wants a reading, a filed or scratched colour, or a spark: a name alone is no check."
)
STILL_OPEN = "Still undecided ({why}). Shoot it on a ground spot or file it, and enter that."
RIGHT = "{mark}: right, {bay} takes it; put it back"
WRONG = "{mark}: it lies in {placed} and belongs in {found}; move it there in the review"


class Rechecks:
    """The pieces of the open run that come back."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    def mark_for_next(self, bay: Bay, pieces: int) -> str:
        """Return what to write on the piece about to be tallied; empty where it does not come back.

        A piece that waits on hold has no call to check yet, and of several pieces nobody finds the one again.
        """
        share, ledger = self._desk.yard.recheck.share, self._desk.ledger
        if not share or bay.is_hold or pieces > 1:
            return ""
        newest = last_row(ledger)
        assert newest is not None, "the open run has a row"
        is_due = is_chosen(newest.row_hash, share)
        return f"{self._desk.yard.terminal}-K{newest.seq + 1}" if is_due else ""

    def due(self) -> list[DueRecheck]:
        """Return the pieces of the run that were set aside and not looked at again yet."""
        return due_rechecks(self._desk.ledger, self._desk.run().run_id)

    def settle(self, due: DueRecheck, findings: str) -> Done[Recheck]:
        """Write what a second look found, by its own findings alone.

        Args:
            due: The piece.
            findings: Words of the entry line: a reading, a scratch colour, a spark.

        Raises:
            DeskRefusal: No finding, one in doubt, or no bay is sure enough.
        """
        desk = self._desk
        considered = desk.consider(f"{due.piece.mass_g}g {clean(findings).strip()}")
        placed, found = due.piece.bay, self._found(considered, due.piece.bay)
        body = {
            "piece": due.piece.row_id,
            "mark": due.mark,
            "line": considered.parsed.line,
            "by": due.piece.person,
            "placed": placed,
            "found": found,
        }
        row = desk.ledger.append(RowKind.RECHECK, person=desk.person, body=body)
        desk.history.record(row)
        said = RIGHT if placed == found else WRONG
        made = Recheck(person=due.piece.person, placed=placed, found=found)
        return Done(
            sentence=said.format(mark=due.mark, bay=placed, placed=placed, found=found),
            rows=(row,),
            made=made,
        )

    def _found(self, considered: Consideration, placed: str) -> str:
        """Return where the piece belongs: where it lies, if that bay's buyer takes what was found."""
        bench, placement = considered.parsed.facts.bench, considered.placement
        refuse_unclear(considered.parsed.problems)
        if not considered.parsed.facts.shots and bench.scratch is None and bench.spark is None:
            raise DeskRefusal(NEEDS_A_CHECK)
        settled = self._desk.yard.thresholds.settled
        if placement is None or placement.bay.is_hold or placement.sureness is Sureness.OPEN:
            raise DeskRefusal(STILL_OPEN.format(why=placement.reason if placement else "nothing is known"))
        takes = any(
            one.bay.code == placed and one.accepted >= settled and not one.veto for one in placement.ranking
        )
        return placed if takes else placement.bay.code

    def page(self, width: int) -> str:
        """Return the confusion matrix of the yard, and the own share of who works the run."""
        desk = self._desk
        lines = rechecks_text(
            rechecks_done(desk.ledger),
            rechecks_drawn(desk.ledger),
            desk.yard,
            person=desk.person,
            width=width,
        )
        return "\n".join(lines)
