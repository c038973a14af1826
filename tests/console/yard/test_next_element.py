"""Which element of a reading is asked for next."""

from pathlib import Path

import pytest

from console.entry.parse import parse_line
from console.yard.next_check.grades_at_hand import Matching
from console.yard.next_check.next_element import next_element
from console.yard.yard import Yard
from grade_library.library import GradeLibrary
from grade_library.matcher.matching import identify
from grade_library.technique import profiles
from tests.yards import load_yard

DEMO = Path(__file__).parents[3] / "demo_yard"


@pytest.fixture(scope="module")
def yard(library: GradeLibrary) -> Yard:
    return load_yard(DEMO, library)


def asked(
    line: str, yard: Yard, library: GradeLibrary, *skipped: str, begins: str = "", by: str = "xrf"
) -> str:
    """Return what is asked for after a line."""
    facts = parse_line(line, names=None, yard=yard).facts
    verdict = identify(facts, library)
    return next_element(
        facts,
        verdict,
        library,
        Matching(prior=None, techniques=profiles()),
        technique=by,
        begins=begins,
        done={*skipped, *(symbol for shot in facts.shots for symbol in shot.reading.values)},
    )


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("m0 cr18.2", "Ni"),  # of stainless what is told apart by, not the iron
        ("m0 cu60.3", "Zn"),
        ("m0 ni66", "Cu"),
        ("m0 ni61.5", "Cr"),
        ("m0 zn95.4", "Al"),  # no base metal of zinc
        ("h3 m0 ti89.8", "Al"),
        ("cr18.2 ni8.1", "Fe"),
        ("cr17.2 ni10.5", "Mo"),  # where 304 ends and 316 begins
    ],
)
def test_what_the_metals_that_still_count_hold_most_of_is_asked_for(
    line: str, wanted: str, yard: Yard, library: GradeLibrary
) -> None:
    """Base metals of steel and aluminium last, and nothing that was typed."""
    assert asked(line, yard, library) == wanted


def test_what_is_not_shown_is_not_asked_again(yard: Yard, library: GradeLibrary) -> None:
    """Where nickel has no copper beside it, chromium is next."""
    assert asked("m0 ni66", yard, library, "Cu") == "Cr"
    assert asked("m0 ni66", yard, library, "Cu", "Cr") not in ("Cu", "Cr", "Ni", "")


def test_a_reading_begins_as_the_one_before_unless_what_was_seen_denies_it(
    yard: Yard, library: GradeLibrary
) -> None:
    """A pull and a tool may hold chromium; a middling weight in the hand is titanium, and lead is heavy."""
    assert asked("m2 .o", yard, library, begins="Cr") == "Cr"
    assert asked("m0 h3", yard, library, begins="Cr") == "Ti"
    assert asked("kb h5", yard, library, begins="Cr") == "Pb"
    assert asked("m2 .o", yard, library, "Cr", begins="Cr") != "Cr"


def test_each_element_that_the_technique_sees_is_asked_for_once(yard: Yard, library: GradeLibrary) -> None:
    """Carbon of cast iron is asked of a laboratory, never of x-ray; in the end nothing is left to ask."""
    for technique, has_carbon in (("xrf", False), ("lab", True)):
        found: list[str] = []
        while one := asked("m2 .c", yard, library, *found, by=technique):
            assert one not in found
            found.append(one)
        assert ("C" in found, "Fe" in found) == (has_carbon, True)
