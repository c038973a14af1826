"""What to do next with a considered piece."""

from console.desk.piece.considering import Consideration
from console.desk.piece.known import Known
from console.yard.next_check.advice import CheckAdvice
from console.yard.next_check.choosing import next_check


def advice(known: Known, considered: Consideration, *, with_readings: bool = True) -> CheckAdvice | None:
    """Return the check that pays best for a piece; None where there is no piece or nowhere to place it.

    Takes a tenth of a second with readings, which are drawn: call it in a thread and drop what comes late.

    Args:
        known: Grades and yard.
        considered: The piece.
        with_readings: False answers in some ms and takes a usual loss for the analyser.
    """
    is_nothing = considered.parsed.is_blank and not considered.verdict.families
    if considered.placement is None or is_nothing or known.yard is None:
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
    found = advice(known, considered, with_readings=with_readings)
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
