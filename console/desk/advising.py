"""What to do next with the piece at hand, and how the analyser stands, each in one line."""

from datetime import datetime

from console.desk.at_hand import PieceAtHand
from console.desk.checking import controls_of
from console.desk.considering import Consideration
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
    if considered.placement is None or considered.parsed.is_blank:
        return None
    known = desk.known
    return next_check(
        considered.parsed.facts,
        considered.verdict,
        considered.placement,
        considered.parsed.mass_g,
        desk.yard,
        desk.library,
        text=considered.parsed.line,
        with_readings=with_readings,
        prior=known.prior,
        techniques=known.techniques,
    )


def can_be_advised(considered: Consideration) -> bool:
    """Tell whether a check could change where a piece goes.

    Not where the sorter chose the bay, nor while a skin hides the metal: then the warning says what to do.
    """
    return (
        considered.placement is not None
        and considered.verdict.open_skin is None
        and bool(considered.verdict.candidates)
        and not considered.parsed.bay_code
        and not considered.parsed.is_hold
    )


def analyser_state(desk: PieceAtHand, at: datetime) -> tuple[str, bool]:
    """Return how the analyser stands in a word for the header, and whether it is as it should be.

    Empty for a yard without check samples.
    """
    state = worst_state(controls_of(desk.ledger, desk.yard, at))
    return ("", True) if state is None else (f"analyser {state.value}", state is ControlState.IN_CONTROL)
