"""The placing benchmark runs, meets every policy with the same pieces, and says what it found."""

from pathlib import Path

import pytest

from grade_library.library import GradeLibrary, load
from tests.benchmarks.placing import DEMO_YARD, judge, report, run
from tests.benchmarks.placing_picture import draw
from tests.benchmarks.placing_pieces import shift
from tests.benchmarks.placing_policies import POLICIES, House, Outcome
from tests.yards import load_yard


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    return load()


def test_a_shift_is_the_same_for_the_same_seed(library: GradeLibrary) -> None:
    """A seed makes the same shift every time, another seed another one."""
    one, two, other = shift(library, 8, 5), shift(library, 8, 5), shift(library, 8, 6)

    assert [(p.grade.grade_id, p.mass_g, p.first) for p in one] == [
        (p.grade.grade_id, p.mass_g, p.first) for p in two
    ]
    assert [p.mass_g for p in one] != [p.mass_g for p in other]


def test_a_short_shift_is_told_as_table_and_picture(library: GradeLibrary) -> None:
    """Every policy is told in a table and a picture, with no seconds spent where nothing is shot."""
    house = House(yard=load_yard(DEMO_YARD, library), library=library)

    outcomes, perfect, kg = run(house, 8, 1, 5)

    text = "\n".join(report(outcomes, perfect, kg, 8, house))
    assert list(outcomes) == list(POLICIES)
    assert outcomes["never shoot"].seconds == 0.0
    assert (
        outcomes["shoot everything"].checks["reading"] + outcomes["shoot everything"].checks.get("grind", 0)
        == 8
    )
    assert all(one.earned <= perfect + 1e-9 for one in outcomes.values())
    assert "aim" in text
    picture = draw(outcomes, perfect, "EUR")
    assert picture.count("<circle") == 4
    assert not Path("placing.svg").exists()


def test_missed_aims_are_said_plainly() -> None:
    """Worse in money and in time than the fixed rule, slow and poor: all three aims are called missed."""
    outcomes = {
        "never shoot": Outcome(earned=50.0, seconds=0.0),
        "shoot everything": Outcome(earned=100.0, seconds=100.0),
        "fixed rule": Outcome(earned=95.0, seconds=50.0),
        "Baywright's advice": Outcome(earned=80.0, seconds=60.0),
    }

    lines = judge(outcomes)

    assert sum("NOT met" in line for line in lines) == 4
