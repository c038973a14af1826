"""The benchmark of readings that are only begun gives the first elements alone and counts what is settled."""

import pytest

from console.desk.piece.known import load_yard_and_library
from grade_library.facts import Reading
from tests.benchmarks.begun import ORDERS, begun, lines, orders_of, tried
from tests.benchmarks.certified import materials
from tests.benchmarks.open_world import DEMO_YARD, World


@pytest.fixture(scope="module")
def world() -> World:
    yard, library = load_yard_and_library(DEMO_YARD)
    return World(library=library, yard=yard, judges={})


def test_a_begun_reading_holds_its_first_elements_alone(world: World) -> None:
    """Most first takes the base, the order of the metal ends with it, that of another has other elements."""
    values = {"Fe": 67.0, "Cr": 17.0, "Ni": 11.0, "Mo": 2.1}
    reading = Reading(technique="xrf", values=values, sigma={"Cr": 0.2})
    rows = orders_of(reading, "316L", "430", world.library)

    assert [rows[order] for order in ORDERS] == [
        ["Fe", "Cr", "Ni", "Mo"],
        ["Cr", "Ni", "Mo", "Fe"],
        ["Cr", "Ni", "Fe"],
    ]
    assert begun(reading, ["Cr", "Mo"]).values == {"Cr": 17.0, "Mo": 2.1}
    assert begun(reading, ["Mo"]).sigma == {}


def test_one_element_of_real_metal_settles_no_wrong_bay(world: World) -> None:
    """Two thirds of the metal are not named by "cr17.2": nothing is settled by it, and by most of it rightly.

    Compositions as published: `tests/outside_checks/certified.csv`.
    """
    metals = [one for one in materials(world.library) if one.grade_id in ("316L", "7075", "2014")][:5]
    found = tried(metals, world)
    settled = {key: [right for is_settled, right, _ in told if is_settled] for key, told in found.items()}

    assert all(not settled[order, 1] for order in ORDERS)
    assert all(all(rights) for rights in settled.values())
    assert any(settled.values())
    assert "0 wrong" in next(lines(found, 0))
