"""A lot that is said to be all one metal: begun, checked piece by piece, tallied by one weight."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING
from zlib import crc32

from console.desk.done import Done
from console.desk.piece.considering import consider_line
from console.desk.refusals import DeskRefusal
from console.ground.cleaning import clean
from console.ledger.rows.lot_rows import lots_of, next_lot_id
from console.ledger.rows.rows import RowKind
from console.yard.lots.lot_words import plan_words, progress_words, result_words
from console.yard.lots.uniform_lot import LotState, UniformLot, start_lot
from grade_library.errors import ObservationError

if TYPE_CHECKING:
    from console.desk.desk import Desk


class Lots:
    """The uniform lots of the open run."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk

    def all(self) -> dict[str, UniformLot]:
        """Return the lots of the run by their names, as they stand, oldest first."""
        return lots_of(self._desk.ledger, self._desk.run().run_id)

    def begin(
        self,
        said: str,
        count: int | None,
        *,
        accept: int = 0,
        per_row: int | None = None,
    ) -> Done[UniformLot]:
        """Write a new lot into the open run; its name seeds the picks, so that anyone can redraw them.

        Raises:
            DeskRefusal: What it is said to be is no grade or word of the library, or a value cannot be.
            LedgerRefusal: No run is open.
        """
        lot_id = next_lot_id(self._desk.ledger, self._desk.run().run_id)
        if self._desk.consider(f"1kg {clean(said)}").verdict.best is None:
            raise DeskRefusal(
                f'"{clean(said)}" says nothing of the metal: name a grade or an alloy, such as 6061.'
            )
        lot = _or_refused(
            lambda: start_lot(
                lot_id,
                clean(said).strip(),
                count,
                seed=crc32(lot_id.encode()),
                accept=accept,
                per_row=per_row,
            )
        )
        return self._written(lot, f"lot {lot.lot_id} begun: {plan_words(lot)}")

    def record(self, lot: UniformLot, *, is_right: bool, found: str = "") -> Done[UniformLot]:
        """Write the result of the piece that was due; the lot as it stands with it is what was made.

        Raises:
            DeskRefusal: The checks have ended.
        """
        now = _or_refused(lambda: lot.record(is_right=is_right, found=clean(found).strip()))
        return self._written(now, progress_words(now))

    def take_back(self, lot: UniformLot) -> Done[UniformLot]:
        """Write the lot without its last check; the same piece is due again.

        Raises:
            DeskRefusal: Nothing was checked yet.
        """
        before = _or_refused(lot.undo)
        return self._written(before, progress_words(before))

    def tally(self, lot: UniformLot, weight: str) -> Done[None]:
        """Tally a lot that passed by one weight; what the checks prove is the note of the entry.

        Raises:
            DeskRefusal: It did not pass, or the weight cannot be read.
        """
        if lot.state is not LotState.UNIFORM:
            raise DeskRefusal(f"Lot {lot.lot_id} has not passed ({lot.state.value}): {result_words(lot)}.")
        count = f" x{lot.count}" if lot.count and lot.count > 1 else ""
        note = f"lot {lot.lot_id}: {result_words(lot)}"
        # A skid goes over the platform scale; the largest weight of the bench scale does not bound it.
        yard = self._desk.yard
        known = replace(self._desk.known, yard=replace(yard, piece_scale=yard.ticket_scale))
        line = f"{clean(weight).strip()}{count} {lot.said} ; {note}"
        done = self._desk.tally(consider_line(line, known))
        # How sure the name would be without the checks is no news here: they have settled it.
        sentence = f"{done.sentence.partition(':')[0]}: {lot.said}, {note}"
        return replace(done, sentence=sentence)

    def _written(self, lot: UniformLot, sentence: str) -> Done[UniformLot]:
        """Write a lot as it stands; undo takes that back."""
        desk = self._desk
        row = desk.ledger.append(RowKind.LOT, person=desk.person, body=lot.to_json())
        desk.history.record(row)
        return Done(sentence=sentence, rows=(row,), made=lot)


def _or_refused(step: Callable[[], UniformLot]) -> UniformLot:
    try:
        return step()
    except ObservationError as error:
        raise DeskRefusal(str(error)) from error
