"""A lot that is said to be all one metal: begun, checked piece by piece, tallied by one weight."""

from dataclasses import replace
from typing import TYPE_CHECKING
from zlib import crc32

from console.desk.considering import consider_line
from console.desk.refusal import DeskRefusal
from console.ground.cleaning import clean
from console.ledger.rows.lot_rows import lots_of, next_lot_id
from console.yard.lots.lot_words import result_words
from console.yard.lots.uniform_lot import USUAL_CONFIDENCE, USUAL_SHARE, LotState, UniformLot, start_lot
from grade_library.errors import ObservationError

if TYPE_CHECKING:
    from console.desk.at_hand import Tallied
    from console.desk.desk import Desk


__all__ = ["begin_lot", "lots_of", "record_check", "take_back", "tally_lot"]


def begin_lot(
    desk: "Desk",
    said: str,
    count: int | None,
    *,
    share: float = USUAL_SHARE,
    confidence: float = USUAL_CONFIDENCE,
    accept: int = 0,
    per_row: int | None = None,
) -> UniformLot:
    """Write a new lot into the open run; the picks are seeded by its name, so that anyone can redraw them.

    Raises:
        DeskRefusal: What it is said to be is no grade or word of the library, or a value cannot be.
        LedgerRefusal: No run is open.
    """
    run_id = desk.run().run_id
    lot_id = next_lot_id(desk.ledger, run_id)
    if desk.consider(f"1kg {clean(said)}").verdict.best is None:
        raise DeskRefusal(
            f'"{clean(said)}" says nothing of the metal: name a grade or an alloy, such as 6061.'
        )
    try:
        lot = start_lot(
            lot_id,
            clean(said).strip(),
            count,
            seed=crc32(lot_id.encode()),
            share=share,
            confidence=confidence,
            accept=accept,
            per_row=per_row,
        )
    except ObservationError as error:
        raise DeskRefusal(str(error)) from error
    _write(desk, lot)
    return lot


def record_check(desk: "Desk", lot: UniformLot, *, is_right: bool, found: str = "") -> UniformLot:
    """Write the result of the piece that was due; return the lot as it stands with it.

    Raises:
        DeskRefusal: The checks have ended.
    """
    try:
        now = lot.record(is_right=is_right, found=clean(found).strip())
    except ObservationError as error:
        raise DeskRefusal(str(error)) from error
    _write(desk, now)
    return now


def take_back(desk: "Desk", lot: UniformLot) -> UniformLot:
    """Write the lot without its last check; the same piece is due again.

    Raises:
        DeskRefusal: Nothing was checked yet.
    """
    try:
        before = lot.undo()
    except ObservationError as error:
        raise DeskRefusal(str(error)) from error
    _write(desk, before)
    return before


def tally_lot(desk: "Desk", lot: UniformLot, weight: str) -> "Tallied":
    """Tally a lot that passed by one weight; what the checks prove is the note of the entry.

    Raises:
        DeskRefusal: It did not pass, or the weight cannot be read.
    """
    if lot.state is not LotState.UNIFORM:
        raise DeskRefusal(f"Lot {lot.lot_id} has not passed ({lot.state.value}): {result_words(lot)}.")
    count = f" x{lot.count}" if lot.count and lot.count > 1 else ""
    note = f"lot {lot.lot_id}: {result_words(lot)}"
    # A skid goes over the platform scale; the largest weight of the bench scale does not bound it.
    known = replace(desk.known, yard=replace(desk.yard, piece_scale=desk.yard.ticket_scale))
    return desk.tally(consider_line(f"{clean(weight).strip()}{count} {lot.said} ; {note}", known))


def _write(desk: "Desk", lot: UniformLot) -> None:
    """Write the lot as it stands; F4 takes that back."""
    desk.history.record(desk.ledger.lot_check(desk.person, body=lot.to_json()))
