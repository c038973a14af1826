"""What the bays are made of, and how far they are from their buyers' limits: as plain text and as JSON."""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from console.ground.figures import many, with_sigma
from console.ground.mass import format_mass
from console.reports.columns import folded, left, right
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.headroom import (
    USUAL,
    BayChemistry,
    LimitState,
    Standing,
    bay_chemistry,
    headroom,
)
from console.yard.yard import Bay, Thresholds, Yard
from grade_library.library import GradeLibrary

MOST_ELEMENTS = 8
"""Elements shown for a bay beyond those with a limit."""
TOO_LITTLE = "too little lies there to judge it"


def chemistry_text(
    yard: Yard,
    sums: Mapping[str, BaySums],
    library: GradeLibrary,
    *,
    asked_grades: Sequence[str] = (),
    width: int = 80,
) -> str:
    """Return the chemistry of every bay that holds metal, as plain text.

    Args:
        yard: Bays and weight unit.
        sums: What lies in each bay, by its code.
        library: The grades.
        asked_grades: Grades whose headroom is wanted for every bay with limits.
        width: Columns, at least 60.
    """
    lines: list[str] = []
    for bay in yard.bays:
        found = sums.get(bay.code)
        if found is None or found.mass_g <= 0.0:
            continue
        lines += _bay_lines(yard, bay_chemistry(bay, found), width)
        if bay.chemistry:
            lines += _room_lines(yard, bay, found, asked_grades, library, width)
        lines.append("")
    if not lines:
        return "The bays are empty.\n"
    lines += folded(
        "Estimated from the pieces tallied: what each can be, its grade's limits and its readings; ± is one "
        "standard uncertainty. Melt loss, dross and attached metal are not in it.",
        width,
    )
    return "\n".join(lines) + "\n"


def _bay_lines(yard: Yard, chemistry: BayChemistry, width: int) -> Iterator[str]:
    bay = chemistry.bay
    weight = format_mass(round(chemistry.mass_g), yard.weight_unit)
    yield f"{bay.code}  {bay.name}: {weight}, {many(round(chemistry.pieces), 'piece', 'pieces')}"
    if not bay.is_hold:
        yield f"    expected to be refused: {100.0 * chemistry.refused_share:.1f} % of the weight"
    for state in chemistry.limits:
        yield "    " + limit_line(state, yard.thresholds, is_small=chemistry.says_nothing(yard.thresholds))
    for shift in bay.learned.values():
        if shift.symbol in bay.chemistry:
            yield f"    {shift.symbol} as settled loads taught: {shift.mean:+.3f} on the estimate"
    yield from folded(
        ", ".join(chemistry.beside_limits()[:MOST_ELEMENTS]), width, first="    ", indent="    "
    )


def limit_line(state: LimitState, thresholds: Thresholds = USUAL, *, is_small: bool = False) -> str:
    """Return one limit of the buyer: "Cu <=0.4    0.29 ± 0.10   kept 87 %   AT RISK".

    Args:
        state: The limit.
        thresholds: What counts as a risk.
        is_small: Too little lies there for a word on it.
    """
    standing = state.standing(thresholds)
    word = standing.value if standing is Standing.KEPT else standing.upper()
    word = TOO_LITTLE if is_small and standing is not Standing.KEPT else word
    chance = f"{min(100.0 * state.chance_kept, 99.9):.0f} %" if state.chance_kept < 0.995 else ">99 %"
    name = left(f"{state.symbol} {state.limit}", 14)
    content = with_sigma(state.content.wt_pct, state.content.sigma)
    return f"{name} {right(content, 16)}  {right(chance, 6)} {word}"


def _room_lines(
    yard: Yard,
    bay: Bay,
    sums: BaySums,
    asked: Sequence[str],
    library: GradeLibrary,
    width: int,
) -> Iterator[str]:
    said = []
    for grade_id in asked:
        room = headroom(bay, sums, grade_id, library, yard.thresholds)
        if math.isinf(room.mass_g):
            said.append(f"{grade_id} any amount")
        else:
            # Rounded down to 100 g: a limit is no place to round up.
            room_g = int(room.mass_g // 100) * 100
            said.append(f"{grade_id} {format_mass(room_g, yard.weight_unit)} ({room.symbol})")
    if said:
        first = f"    headroom at {100.0 * (1.0 - yard.thresholds.at_risk):.0f} %: "
        yield from folded(", ".join(said), width, first=first, indent="      ")


def chemistry_json(
    yard: Yard, sums: Mapping[str, BaySums], library: GradeLibrary, *, asked_grades: Sequence[str] = ()
) -> dict[str, Any]:
    """Return the chemistry of every bay that holds metal, JSON-ready; weights in kg, contents in wt %.

    Args:
        yard: The bays.
        sums: What lies in each bay, by its code.
        library: The grades.
        asked_grades: Grades whose headroom is wanted for every bay with limits.
    """
    filled = [(bay, sums[bay.code]) for bay in yard.bays if bay.code in sums and sums[bay.code].mass_g > 0]
    return {"bays": [_bay_json(bay, found, library, asked_grades, yard.thresholds) for bay, found in filled]}


def _bay_json(
    bay: Bay, sums: BaySums, library: GradeLibrary, asked: Sequence[str], thresholds: Thresholds
) -> dict[str, Any]:
    state = bay_chemistry(bay, sums)
    row: dict[str, Any] = {
        "bay": bay.code,
        "name": bay.name,
        "kg": round(state.mass_g) / 1000,
        "pieces": round(state.pieces),
        "refused_share": round(state.refused_share, 6),
        "wt_pct": {
            symbol: {"content": round(one.wt_pct, 4), "sigma": round(one.sigma, 4)}
            for symbol, one in state.composition.items()
        },
        "limits": [
            {"element": one.symbol, "limit": one.limit, "chance_kept": round(one.chance_kept, 4)}
            for one in state.limits
        ],
    }
    if asked and bay.chemistry:
        rooms = {grade_id: headroom(bay, sums, grade_id, library, thresholds) for grade_id in asked}
        row["headroom_kg"] = {
            grade_id: None if math.isinf(room.mass_g) else round(room.mass_g) / 1000
            for grade_id, room in rooms.items()
        }
    return row
