"""Certified and measured compositions of real materials lie inside the limits of the grade they are named.

Source: certified.csv beside this file, whose last column names the certificate or paper of every value.
"""

import csv
import tomllib
from collections import defaultdict
from pathlib import Path

import pytest

from grade_library.grade import Limit
from grade_library.library import load

HERE = Path(__file__).parent
LEAST_INSIDE = 60


def _materials() -> dict[str, dict[str, tuple[float, float]]]:
    """Return material -> element -> (value, uncertainty), half a unit of the last place if none stated."""
    found: dict[str, dict[str, tuple[float, float]]] = defaultdict(dict)
    with (HERE / "certified.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            try:
                value = float(row["wt_pct"])
            except ValueError:  # "<0.01" tells no value to compare
                continue
            decimals = len(row["wt_pct"].partition(".")[2])
            stated = row["uncertainty"]
            found[row["item_id"]][row["element"]] = (
                value,
                float(stated) if stated else 0.5 * 10.0**-decimals,
            )
    return found


MATERIALS = _materials()
GRADES = tomllib.loads((HERE / "certified_limits.toml").read_text("utf-8"))


def _is_inside(value: float, uncertainty: float, limit: Limit) -> bool:
    low = 0.0 if limit.low is None else limit.low
    high = 100.0 if limit.high is None else limit.high
    return low - uncertainty - 1e-9 <= value <= high + uncertainty + 1e-9


def _outside(material: str) -> set[str]:
    limits = load().grade(GRADES[material]["grade"]).limits
    return {
        symbol
        for symbol, (value, uncertainty) in MATERIALS[material].items()
        if symbol in limits and not _is_inside(value, uncertainty, limits[symbol])
    }


@pytest.mark.parametrize("material", sorted(GRADES))
def test_a_material_keeps_the_limits_of_the_grade_it_is_named(material: str) -> None:
    """Every element lies inside, within its uncertainty, or the table beside says which does not and why."""
    assert _outside(material) == set(GRADES[material].get("outside", {}))


def test_enough_materials_lie_inside_with_every_element() -> None:
    """At least sixty certified or measured materials keep all limits of their grade."""
    inside = [material for material in GRADES if "outside" not in GRADES[material]]

    assert len(inside) >= LEAST_INSIDE


def test_limits_are_no_wider_than_it_takes() -> None:
    """A material of another grade does not fit: of all pairs of material and foreign grade, few are inside.

    Without this check limits of 0 to 100 would pass the others.
    """
    library = load()
    fitting = pairs = 0
    for material in GRADES:
        own = library.grade(GRADES[material]["grade"])
        for other in library.grades:
            if other.group == own.group and other.family != own.family:
                pairs += 1
                values = MATERIALS[material]
                fitting += all(
                    _is_inside(*values[symbol], limit)
                    for symbol, limit in other.limits.items()
                    if symbol in values
                )

    assert pairs > 1000
    assert fitting / pairs < 0.02
