"""What was known when a piece was tallied, kept with its row so that it can be explained years later."""

from dataclasses import fields
from enum import Enum
from typing import Any

from console.desk.piece.calling import MOST_TWINS
from console.desk.piece.considering import Consideration
from console.reports.identify_report import candidate_json, skin_json
from console.yard.chemistry.content import LEAST_UNLISTED, kept_of
from grade_library.facts import BenchFacts, Measured, PieceFacts


def evidence_of(considered: Consideration, doubts: tuple[str, ...] = ()) -> dict[str, Any]:
    """Return facts, candidates with reasons, placement and cautions as they are now, JSON-ready.

    Args:
        considered: The piece.
        doubts: Why readings counted less when it was considered.
    """
    verdict, placement = considered.verdict, considered.placement
    evidence: dict[str, Any] = {
        "facts": facts_json(considered.parsed.facts),
        "candidates": [_lean(candidate_json(candidate)) for candidate in kept_of(verdict)],
        "unlisted": round(verdict.unlisted, 6),
        "unlisted_of": [
            [one.group, one.family, one.series, round(one.unlisted, 6)]
            for one in verdict.families
            if one.unlisted >= LEAST_UNLISTED
        ],
        "warnings": list(verdict.warnings),
        "doubts": list(doubts),
        "cautions": [caution.caution_id for caution in considered.cautions],
    }
    if verdict.skin is not None:
        evidence["skin"] = skin_json(verdict.skin, [candidate_json(one) for one in verdict.skin.core])
    if placement is not None:
        evidence["placement"] = {
            "bay": placement.bay.code,
            "sureness": placement.sureness.value,
            "reason": placement.reason,
            "ranking": [
                [
                    one.bay.code,
                    round(one.worth_per_kg, 4),
                    one.veto,
                    round(one.accepted, 6),
                    one.bay.rules_mark,
                ]
                for one in placement.ranking[:5]
            ],
        }
    return {key: value for key, value in evidence.items() if value not in ([], {}, None)}


def _lean(candidate: dict[str, Any]) -> dict[str, Any]:
    """Return a candidate with a few of its twins, by id."""
    return candidate | {"twins": [twin["grade"] for twin in candidate["twins"][:MOST_TWINS]]}


def facts_json(facts: PieceFacts) -> dict[str, Any]:
    """Return readings, bench facts and claim, JSON-ready; what is not known is left out."""
    row: dict[str, Any] = {}
    if facts.shots:
        row["shots"] = [
            {
                "technique": shot.reading.technique,
                "ground": shot.is_ground,
                "wt_pct": dict(shot.reading.values),
                "below_wt_pct": dict(shot.reading.below),
            }
            for shot in facts.shots
        ]
    if facts.claim is not None:
        row["claim"] = {"text": facts.claim.text, "label": facts.claim.label, "exact": facts.claim.is_exact}
    return row | _bench_json(facts.bench)


def _bench_json(bench: BenchFacts) -> dict[str, Any]:
    row: dict[str, Any] = {}
    for item in fields(bench):
        value = getattr(bench, item.name)
        if isinstance(value, Measured | Enum):
            row[item.name] = value.value
        elif isinstance(value, frozenset) and value:
            row[item.name] = sorted(surface.value for surface in value)
        elif value is True:
            row[item.name] = True
    return row
