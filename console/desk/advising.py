"""What to do next with the piece at hand, and how the analyser stands, each in one line."""

from datetime import datetime

from console.desk.at_hand import PieceAtHand
from console.desk.checking import controls_of
from console.desk.considering import Consideration
from console.desk.known import Known
from console.yard.coupons.check_state import ControlState, worst_state
from console.yard.next_check.advice import CheckAdvice
from console.yard.next_check.choosing import next_check


def advice(desk: PieceAtHand, considered: Consideration, *, with_readings: bool = True) -> CheckAdvice | None:
    """Return the check that pays best for a piece; None where there is no piece or nowhere to place it.

    Takes a tenth of a second with readings, which are drawn: call it in a thread and drop what comes late.

    Args:
        desk: The yard and what is known.
        considered: The piece.
        with_readings: False answers in some ms and takes a usual loss for the analyser.
    """
    if considered.parsed.is_blank:
        return None
    return advice_on(considered, desk.known, with_readings=with_readings)


def advice_on(considered: Consideration, known: Known, *, with_readings: bool = True) -> CheckAdvice | None:
    """Return the check that pays best for a piece, with or without a run; None where nowhere to place it.

    Args:
        considered: The piece.
        known: Grades, yard and frequencies.
        with_readings: As `advice` takes it.
    """
    if considered.placement is None or known.yard is None:
        return None
    return next_check(
        considered.parsed.facts,
        considered.verdict,
        considered.placement,
        considered.parsed.mass_g,
        known.yard,
        known.library,
        text=considered.parsed.line,
        with_readings=with_readings,
        prior=known.prior,
        techniques=known.techniques,
    )


def next_step(considered: Consideration, known: Known, *, with_readings: bool = True) -> str:
    """Return what to do next with a piece in one line, as the console says it.

    A skin that still hides the metal is taken off before anything else; empty where there is nothing to say.
    """
    skin = considered.verdict.open_skin
    if considered.held_for is not None:
        return considered.held_for.say
    if skin is not None:
        return skin.advice
    if not can_be_advised(considered):
        return ""
    found = advice_on(considered, known, with_readings=with_readings)
    return "" if found is None else found.line


def can_be_advised(considered: Consideration) -> bool:
    """Tell whether a check could change where a piece goes.

    Not where the sorter chose the bay, nor while a skin hides the metal: then the warning says what to do.
    """
    return (
        considered.placement is not None
        and considered.verdict.open_skin is None
        and bool(considered.verdict.families)
        and not considered.parsed.bay_code
        and not considered.parsed.is_hold
    )


def analyser_state(desk: PieceAtHand, at: datetime) -> tuple[str, bool]:
    """Return how the analyser stands in a word for the header, and whether it is as it should be.

    Empty for a yard without check samples.
    """
    state = worst_state(controls_of(desk.ledger, desk.yard, at))
    return ("", True) if state is None else (f"analyser {state.value}", state is ControlState.IN_CONTROL)
