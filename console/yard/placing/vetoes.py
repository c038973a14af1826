"""What rules a bay out for a piece, whatever it is worth: grades, elements, coverings, attachments."""

import math
from collections.abc import Mapping

from console.yard.refused_elements import at_all_wt_pct, cannot_keep, holds
from console.yard.yard import Bay
from grade_library.elements import ELEMENTS
from grade_library.facts import PieceFacts, Reading
from grade_library.skin.coatings import coatings_called
from grade_library.verdict import Verdict


def veto_of(
    bay: Bay, shares: Mapping[str, float], verdict: Verdict, facts: PieceFacts, most_refused: float
) -> str:
    """Return what rules the bay out, in a few words; empty when nothing does.

    Args:
        bay: Any bay.
        shares: Probability of every grade.
        verdict: Whether the reading is of the metal or of its skin.
        facts: Surfaces, attachments, form, readings.
        most_refused: Probability of refused grades above which the bay is out.
    """
    return (
        veto_whatever_metal(bay, verdict, facts)
        or _by_grades(bay, shares, verdict, most_refused)
        or by_limits(bay, verdict, most_refused)
    )


def veto_whatever_metal(bay: Bay, verdict: Verdict, facts: PieceFacts) -> str:
    """Return what rules the bay out whichever grade the piece is; empty when nothing does.

    Args:
        bay: Any bay.
        verdict: Whether the reading is of the metal or of its skin.
        facts: Surfaces, attachments, form, readings.
    """
    covered = sorted(bay.refused_surfaces & facts.bench.surfaces)
    if covered:
        return f"{covered[0].value} refused"
    if bay.refuses_attachments and facts.bench.has_attachments:
        return "attachments refused"
    if facts.bench.form in bay.refused_forms:
        return f"{facts.bench.form} refused"
    return _by_coating(bay, verdict) or _by_reading(bay, verdict, facts)


def reading_of_metal(verdict: Verdict, facts: PieceFacts) -> Reading | None:
    """Return the last reading, None where there is none or it may be of a coating that hides the metal."""
    return facts.shots[-1].reading if facts.shots and verdict.open_skin is None else None


def refused_coatings(bay: Bay) -> frozenset[str]:
    """Return every coating that the bay refuses, by name or as a surface in words."""
    return bay.refused_coatings.union(*(coatings_called(surface) for surface in bay.refused_surfaces))


def _by_coating(bay: Bay, verdict: Verdict) -> str:
    """Judge by what the readings suspect on the metal: it is still on the piece when a spot was ground."""
    skin = verdict.skin
    if skin is None or not skin.is_suspected or skin.coating is None:
        return ""
    return f"{skin.coating} suspected, refused" if skin.coating in refused_coatings(bay) else ""


def _by_reading(bay: Bay, verdict: Verdict, facts: PieceFacts) -> str:
    """Judge by the last shot, unless it may be of a coating that hides the metal."""
    reading = reading_of_metal(verdict, facts)
    if reading is None:
        return ""
    for symbol, most in bay.element_limits.items():
        value = reading.values.get(symbol)
        if value is not None and value > most:
            return f"{symbol} up to {most:g}: reading {value:g}"
    for symbol in sorted(bay.refused_elements):
        value = reading.values.get(symbol, 0.0)
        if value > at_all_wt_pct(symbol):
            return f"{ELEMENTS[symbol].name} refused: reading {value:g}"
    return ""


def _by_grades(bay: Bay, shares: Mapping[str, float], verdict: Verdict, most_refused: float) -> str:
    few, many = (bay.refused_ids, shares) if len(bay.refused_ids) < len(shares) else (shares, bay.refused_ids)
    refused = [(shares[grade_id], grade_id) for grade_id in few if grade_id in many]
    total = math.fsum(share for share, _ in refused)
    unlisted = [
        (member.unlisted, member.family if member.family == member.series else member.series)
        for member in verdict.families
        if (member.group, member.family, member.series) in bay.refused_kinds
    ]
    total += math.fsum(share for share, _ in unlisted)
    if total <= most_refused:
        return ""
    _, likeliest = max([*refused, *unlisted])
    return f"{likeliest} refused, {100.0 * total:.0f} % likely{_for_element(bay, likeliest, verdict)}"


def _for_element(bay: Bay, grade_id: str, verdict: Verdict) -> str:
    """Return for which element a grade is refused: " (holds lead)"; empty where it is refused by name."""
    for candidate in verdict.candidates:
        if candidate.grade.grade_id == grade_id:
            for symbol in sorted(bay.refused_elements):
                if holds(candidate.grade, symbol):
                    return f" (holds {ELEMENTS[symbol].name})"
    return ""


def by_limits(bay: Bay, verdict: Verdict, most_refused: float) -> str:
    """Judge by the candidates' own limits: grades that cannot keep under the bay's maximum of an element."""
    for symbol, most in bay.element_limits.items():
        over = math.fsum(
            candidate.probability
            for candidate in verdict.candidates
            if cannot_keep(candidate.grade, symbol, most)
        )
        if over > most_refused:
            return f"{symbol} up to {most:g}: {100.0 * over:.0f} % likely above"
    return ""
