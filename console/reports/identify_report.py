"""What identify() concluded, as JSON for programs and as plain text for people."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from console.yard.placing.placement import Placement
from grade_library.cautions import DEFERRAL, Caution
from grade_library.verdict import Candidate, FamilyShare, Reason, SkinVerdict, Verdict

LEAST_FAMILY = 0.001
"""Families below this probability are left out of the JSON."""
MOST_FAMILIES, LEAST_UNLISTED = 3, 0.02
"""So many families are said to have an unlisted member, none less likely than this."""


def verdict_json(
    piece: str,
    verdict: Verdict,
    cautions: tuple[Caution, ...] = (),
    placement: Placement | None = None,
    next_check: str = "",
) -> dict[str, Any]:
    """Return one piece's verdict as a JSON-ready object; probabilities 0..1, rounded to 6 decimals.

    Args:
        piece: By what it is known.
        verdict: What it can be.
        cautions: That stand with it.
        placement: Where it should go; None where there is no yard, then nothing is said of it.
        next_check: What to do next, in one line; empty where there is nothing to say.
    """
    placed = {} if placement is None else {"placement": placement_json(placement, next_check)}
    candidates = [candidate_json(candidate) for candidate in verdict.candidates]
    return {
        "piece": piece,
        "candidates": candidates,
        "unlisted": round(verdict.unlisted, 6),
        "families": [_family_json(one) for one in verdict.families if one.probability >= LEAST_FAMILY],
        "no_family": round(verdict.no_family, 6),
        "nearest": [candidate_json(candidate) for candidate in verdict.nearest],
        "family_answer": verdict.family_answer,
        "warnings": list(verdict.warnings),
        "cautions": [
            {"id": caution.caution_id, "level": caution.level.value, "say": caution.say}
            for caution in cautions
        ],
        "skin": skin_json(verdict.skin, candidates) if verdict.skin else None,
        **placed,
    }


def _family_json(member: FamilyShare) -> dict[str, Any]:
    return {
        "family": member.family,
        "group": member.group,
        "series": member.series,
        "listed": round(member.listed, 6),
        "unlisted": round(member.unlisted, 6),
    }


def candidate_json(candidate: Candidate) -> dict[str, Any]:
    """Return one candidate as a JSON-ready object."""
    grade = candidate.grade
    return {
        "grade": grade.grade_id,
        "uns": grade.uns,
        "family": grade.family,
        "group": grade.group,
        "series": grade.series,
        "probability": round(candidate.probability, 6),
        "twins": [{"grade": twin.grade_id, "uns": twin.uns} for twin in candidate.twins],
        "reasons": [reason_json(reason) for reason in candidate.reasons],
    }


def reason_json(reason: Reason) -> dict[str, Any]:
    """Return one reason as a JSON-ready object; weights in nats."""
    row: dict[str, Any] = {
        "kind": reason.kind.value,
        "text": reason.text,
        "speaks": "for" if reason.is_for else "against",
        "weight_nats": round(reason.weight_nats, 3),
    }
    if reason.element is not None:
        row["element"] = reason.element
        row["excess_wt_pct"] = round(reason.excess_wt_pct, 4)
        row["excess_sigma"] = round(reason.excess_sigma, 2)
    return row


def skin_json(skin: SkinVerdict, candidates: Sequence[Mapping[str, Any]]) -> Mapping[str, Any]:
    """Return the skin verdict as a JSON-ready object.

    Args:
        skin: What the readings say of a skin.
        candidates: Those of the piece, which are its core's, told already.
    """
    return {
        "suspected": skin.is_suspected,
        "coating": skin.coating,
        "probability": round(skin.probability, 6),
        "shares": [round(share, 4) for share in skin.shares],
        "arrived": skin.has_arrived,
        "core": list(candidates),
        "advice": skin.advice,
        "tell": skin.tell,
    }


def placement_json(placement: Placement, next_check: str) -> dict[str, Any]:
    """Return where the piece should go as a JSON-ready object.

    Args:
        placement: The suggested bay.
        next_check: What to do next, in one line; empty where nothing pays.
    """
    return {
        "bay": placement.bay.code,
        "verdict": placement.sureness.value,
        "probability": round(placement.best.accepted, 6) if placement.best else 0.0,
        "reason": placement.reason,
        "next_check": next_check,
    }


def verdict_lines(verdict: Verdict, cautions: tuple[Caution, ...] = (), *, most: int = 8) -> Iterator[str]:
    """Yield the verdict as lines of plain text, reasons under each of the first `most` candidates."""
    if not (verdict.families or verdict.candidates or verdict.unlisted):
        yield "Nothing is known of this piece yet: add a reading, a magnet answer, a colour or a name."
    for warning in verdict.warnings:
        yield f"note: {warning}"
    if verdict.skin and verdict.skin.is_suspected:
        yield f"SKIN: {verdict.skin.advice}"
    for place, candidate in enumerate(verdict.candidates[:most], start=1):
        grade = candidate.grade
        uns = f" {grade.uns}" if grade.uns and grade.uns != grade.grade_id else ""
        yield f"{place:2}. {candidate.probability:6.1%}  {grade.grade_id}{uns}, {grade.family}"
        if candidate.twins:
            yield "      cannot be told from: " + ", ".join(twin.grade_id for twin in candidate.twins)
        for reason in candidate.reasons:
            yield f"      {'+' if reason.is_for else '-'} {reason.text}"
    if len(verdict.candidates) > most:
        yield f"    and {len(verdict.candidates) - most} less likely"
    if verdict.families or verdict.unlisted:
        yield f"    {verdict.unlisted:6.1%}  none listed: no grade of the library fits"
    for member in verdict.families[:MOST_FAMILIES]:
        if member.unlisted >= LEAST_UNLISTED:
            name = member.family if member.series == member.family else f"{member.family}, {member.series}"
            yield f"    {member.unlisted:6.1%}  {name}, but none that the library lists"
    if verdict.no_family >= LEAST_UNLISTED:
        yield f"    {verdict.no_family:6.1%}  of no family that the library has"
    for candidate in verdict.nearest:
        yield f"near: {candidate.grade.grade_id}; " + "; ".join(
            reason.text for reason in candidate.reasons if not reason.is_for
        )
    if verdict.skin and verdict.skin.tell:
        yield f"a skin may read the same: {verdict.skin.tell}"
    if verdict.family_answer:
        yield f"sure so far: {verdict.family_answer}"
    for caution in cautions:
        yield f"{caution.level.value.upper()} {caution.title}: {caution.say}"
    if cautions:
        yield DEFERRAL
