"""A piece becomes a row of the ledger: where it goes, what is kept of it, and what is said."""

from dataclasses import replace
from typing import TYPE_CHECKING

from console.desk import sentences
from console.desk.done import Done, done
from console.desk.piece.again import AS_BEFORE, is_still_again, repeat
from console.desk.piece.calling import called
from console.desk.piece.considering import Consideration
from console.desk.piece.evidence import evidence_of
from console.desk.piece.skin_guard import why_guarded
from console.desk.readings.offered import kept_form
from console.desk.readings.queue import Together
from console.desk.refusals import DeskRefusal, known_bay, refuse_unclear
from console.desk.tags import tag_in
from console.desk.undo.replacing import REPLACED_REASON
from console.ground.cleaning import clean
from console.ledger.rows.rows import PieceEntry, PieceState
from console.ledger.views.latest import newest_standing
from console.ledger.views.piece_state import piece_state
from console.yard.placing.placement import Placement, Sureness
from console.yard.yard import Bay, Yard

if TYPE_CHECKING:
    from console.desk.desk import Desk


def tally(
    desk: "Desk",
    considered: Consideration,
    bay: Bay,
    readings: Together,
    despite_skin: str = "",
    *,
    in_place_of: PieceState | None = None,
) -> Done[None]:
    """Write a piece with the readings from files that went into it.

    Args:
        desk: Where.
        considered: The piece.
        bay: Where it goes.
        readings: Those that it takes with it.
        despite_skin: Why it may go into a dear bay though its skin was read.
        in_place_of: The piece that it corrects, whose load and tag it keeps; None for a new one.
    """
    entry = _entry(desk, considered, bay)
    about = desk if in_place_of is None else in_place_of
    entry = replace(entry, supplier=about.supplier, load=about.load, tag=tag_in(desk, bay, in_place_of))
    entry = replace(entry, readings=kept_form(readings, desk.yard))
    if guarded := why_guarded(considered, bay, desk.yard):
        entry = _despite_skin(entry, guarded, clean(despite_skin).strip())
    row = desk.ledger.add_piece(entry, desk.person)
    desk.history.record(row)
    said = sentences.tallied(entry, considered.verdict, desk.yard, desk.person, in_place_of)
    return done(said, row)


def correct(desk: "Desk", considered: Consideration, bay_code: str | None, row_id: str) -> Done[None]:
    """Void a piece and tally what its line should have said, both or neither."""
    last = piece_state(desk.ledger, row_id) if row_id else newest_standing(desk.ledger, desk.run().run_id)
    if last is None:
        raise DeskRefusal("No piece in this run yet to correct.")
    if last.is_void:
        raise DeskRefusal("The piece was taken back meanwhile: there is nothing left to correct. Esc leaves.")
    bay = bay_for(considered, bay_code, desk.yard)
    used = desk.readings.used_by(considered.parsed.line, corrected=last.row_id)
    is_again = is_still_again(desk, considered, last)
    if last.as_before and not is_again and considered.parsed.note == AS_BEFORE:
        # It is said to be something else now, so the note of the console would be untrue.
        considered = desk.consider(considered.parsed.line.partition(";")[0].strip())
    with desk.ledger.act():
        void = desk.ledger.void(last.row_id, REPLACED_REASON, desk.person)
        if is_again:
            tallied = repeat(desk, considered, last, bay_code, in_place_of=last)
        else:
            tallied = tally(desk, considered, bay, used, in_place_of=last)
    # The tally has recorded the piece; the void came before it.
    desk.history.done.insert(len(desk.history.done) - 1, void.seq)
    return done(f"corrected: {tallied.sentence}", void, tallied.row)


def bay_for(considered: Consideration, bay_code: str | None, yard: Yard) -> Bay:
    """Return where a piece goes: the bay given, the one on the line, or the suggested one.

    Raises:
        DeskRefusal: The line has problems or no weight, or there is no such bay.
    """
    parsed = considered.parsed
    refuse_unclear(parsed.problems)
    if parsed.mass_g is None:
        raise DeskRefusal("Type the weight anywhere on the line, such as 12.4 or 820g: it has none.")
    if chosen := bay_code or parsed.bay_code:
        return known_bay(chosen, yard)
    if parsed.is_hold or considered.placement is None:
        return yard.hold_bay
    return considered.placement.bay


def _entry(desk: "Desk", considered: Consideration, bay: Bay) -> PieceEntry:
    parsed, placement, verdict = considered.parsed, considered.placement, considered.verdict
    assert parsed.mass_g is not None
    name = called(verdict)
    return PieceEntry(
        bay=bay.code,
        grade_id=name.grade_id,
        mass_g=parsed.mass_g,
        pieces=parsed.count,
        is_on_platform=parsed.is_on_platform,
        weighings=parsed.weighings,
        line=parsed.line,
        note=parsed.note,
        waits_for=_waits_for(considered) if bay.is_hold else "",
        sureness=_sureness(placement, bay) if verdict.leading else "",
        is_override=_is_beside_advice(considered, bay, desk.yard),
        evidence=evidence_of(considered, desk.known.doubts),
        twins=name.twins,
        class_name=name.class_name,
        recheck=desk.rechecks.mark_for_next(bay, parsed.count),
    )


def _is_beside_advice(considered: Consideration, bay: Bay, yard: Yard) -> bool:
    """Tell whether a bay is another than was advised, and not one that takes what the line says as well.

    Where nothing is known nothing was advised; a hazard is advice whatever is known.
    """
    placement = considered.placement
    is_advised = bool(considered.verdict.candidates) or considered.held_for is not None
    if bay.is_hold or placement is None or not is_advised or bay.code == placement.bay.code:
        return False
    if considered.held_for is not None:
        return True
    one = next((worth for worth in placement.ranking if worth.bay is bay), None)
    least = min(yard.thresholds.settled, placement.best.accepted if placement.best else 1.0)
    return one is None or bool(one.veto) or one.accepted < least


def _despite_skin(entry: PieceEntry, guarded: str, reason: str) -> PieceEntry:
    """Return the entry of a piece that goes into a dear bay on a skin reading, with the reason on it.

    Raises:
        DeskRefusal: No reason was given.
    """
    if not reason:
        raise DeskRefusal(
            f'? sends it to hold; the action "despite the skin" tallies it, with a reason. {guarded}'
        )
    said = f"despite the skin: {reason}"
    return replace(
        entry,
        note=f"{entry.note}; {said}" if entry.note else said,
        is_override=True,
        evidence={**entry.evidence, "despite_skin": {"reason": reason, "warning": guarded}},
    )


def _sureness(placement: Placement | None, bay: Bay) -> str:
    """Return how sure the placement is in a word; a piece that waits is open, however likely its grade is."""
    if placement is None:
        return ""
    return Sureness.OPEN.value if bay.is_hold else placement.sureness.value


def _waits_for(considered: Consideration) -> str:
    """Return what a held piece waits for, in the words of the placement."""
    is_asked = considered.parsed.is_hold and considered.held_for is None
    if considered.placement is None or is_asked:
        return considered.parsed.note
    return considered.placement.reason.removeprefix("hold: ")
