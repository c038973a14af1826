"""What the bays are made of, for machines."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.headroom import bay_chemistry, headroom
from console.yard.yard import Bay, Thresholds, Yard
from grade_library.library import GradeLibrary


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
