"""What rules a bay out for a piece, whatever it is worth: refused grades, elements, surfaces, attachments."""

from collections.abc import Mapping

from console.yard.yard import Bay
from grade_library.facts import PieceFacts, Reading
from grade_library.verdict import Verdict


def veto_of(
    bay: Bay, shares: Mapping[str, float], verdict: Verdict, facts: PieceFacts, most_refused: float
) -> str:
    """Return what rules the bay out, in a few words; empty when nothing does.

    Args:
        bay: Any bay.
        shares: Probability of every grade.
        verdict: Whether the reading is of the metal or of its skin.
        facts: Surfaces, attachments, readings.
        most_refused: Probability of refused grades above which the bay is out.
    """
    covered = sorted(bay.refused_surfaces & facts.bench.surfaces)
    if covered:
        return f"{covered[0].value} refused"
    if bay.refuses_attachments and facts.bench.has_attachments:
        return "attachments refused"
    return (
        _by_reading(bay, verdict, facts)
        or _by_grades(bay, shares, most_refused)
        or _by_limits(bay, verdict, most_refused)
    )


def _by_reading(bay: Bay, verdict: Verdict, facts: PieceFacts) -> str:
    """Judge by the last shot, unless it may be of a coating that hides the metal."""
    is_skin = verdict.skin is not None and verdict.skin.is_suspected and not verdict.skin.has_arrived
    if not facts.shots or is_skin:
        return ""
    reading: Reading = facts.shots[-1].reading
    for symbol, most in bay.element_limits.items():
        value = reading.values.get(symbol)
        if value is not None and value > most:
            return f"{symbol} up to {most:g}: reading {value:g}"
    return ""


def _by_grades(bay: Bay, shares: Mapping[str, float], most_refused: float) -> str:
    refused = [(share, grade_id) for grade_id, share in shares.items() if grade_id in bay.refused_ids]
    total = sum(share for share, _ in refused)
    if total <= most_refused:
        return ""
    _, likeliest = max(refused)
    return f"{likeliest} refused, {100.0 * total:.0f} % likely"


def _by_limits(bay: Bay, verdict: Verdict, most_refused: float) -> str:
    """Judge by the candidates' own limits: grades that cannot keep under the bay's maximum of an element."""
    for symbol, most in bay.element_limits.items():
        over = 0.0
        for candidate in verdict.candidates:
            limit = candidate.grade.limits.get(symbol)
            if limit is not None and limit.low is not None and limit.low > most:
                over += candidate.probability
        if over > most_refused:
            return f"{symbol} up to {most:g}: {100.0 * over:.0f} % likely above"
    return ""
