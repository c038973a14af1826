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
    if considered.placement is None or considered.parsed.is_blank or known.yard is None:
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
