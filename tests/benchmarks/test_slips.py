"""The benchmark of mistyped readings makes one slip at a time and counts what is settled."""

import numpy as np
import pytest

from console.desk.piece.known import load_yard_and_library
from grade_library.facts import Reading
from tests.benchmarks.certified import materials
from tests.benchmarks.open_world import DEMO_YARD, World
from tests.benchmarks.slips import NO_SLIP, lines, shown, slips, tried


@pytest.fixture(scope="module")
def world() -> World:
    yard, library = load_yard_and_library(DEMO_YARD)
    return World(library=library, yard=yard, judges={})


def test_each_slip_changes_one_thing() -> None:
    """Figures as shown, the largest first, and of each kind of slip what it makes of them."""
    figures = shown(Reading(technique="xrf", values={"Ni": 8.14, "Cr": 18.23, "P": 0.03, "Fe": 71.3}))
    made: dict[str, list[dict[str, str]]] = {}
    for kind, typed in slips(figures, np.random.default_rng(1)):
        made.setdefault(kind, []).append(typed)

    assert figures == {"Fe": "71.3", "Cr": "18.2", "Ni": "8.14"}
    assert {**figures, "Fe": "17.3"} in made["transposed"]
    assert {**figures, "Cr": "1.82"} in made["slipped point"]
    assert {**figures, "Fe": "18.2", "Cr": "71.3"} in made["two exchanged"]
    assert {"Fe": "71.3", "Ni": "8.14", "Co": "18.2"} in made["other symbol"]
    assert {"Fe": "71.3", "Cr": "18.2"} in made["element left out"]
    for kind in ("figure lost", "figure doubled", "neighbouring key"):
        changed = {"figure lost": -1, "figure doubled": 1, "neighbouring key": 0}[kind]
        assert len(made[kind]) == 3
        for typed in made[kind]:
            assert sum(typed[one] != figures[one] for one in figures) == 1
            assert sum(map(len, typed.values())) - sum(map(len, figures.values())) == changed


def test_a_mistyped_reading_of_real_metal_settles_no_wrong_bay(world: World) -> None:
    """A sum above 101 is refused, and one slip leads to no sure wrong bay; compositions as published:
    `tests/outside_checks/certified.csv`."""
    metals = [one for one in materials(world.library) if one.grade_id in ("316L", "7075", "2014")][:4]
    found = tried(metals, world)
    wrong = [told for of_kind in found.values() for told in of_kind if told[0] and not told[1]]

    assert len(found) == 9
    assert any(is_settled for is_settled, _, _ in found[NO_SLIP])
    assert any(not name for _, _, name in found["figure doubled"])
    assert not wrong
    assert ", 0 wrong" in list(lines(found, 0))[-1]
