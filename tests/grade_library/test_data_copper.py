"""The shipped figures of copper, its alloys, precious metals, brazing alloys: counts, sums, known limits."""

import math

import pytest

from grade_library.cautions import cautions_of_grade
from grade_library.facts import BenchFacts, Form, PieceFacts, Reading, Shot
from grade_library.grade import Colour, Grade, Limit, MagneticClass
from grade_library.library import load
from grade_library.loading.notation import read_limit
from grade_library.matcher.matching import identify

# family: grades, sum of all stated maxima [wt %], sum of all stated minima [wt %], sum of densities [g/cm3];
# nominal values stay out of the sums. A deliberate correction changes its row here; a slipped digit shows.
PINNED = {
    "copper": (16, 3.44, 999.83, 142.90),
    "high copper": (35, 98.02, 436.67, 307.76),
    "brass": (19, 1361.86, 1300.52, 162.04),
    "leaded brass": (36, 2465.09, 2320.57, 305.82),
    "tin brass": (18, 1370.71, 1291.20, 154.15),
    "phosphor bronze": (14, 104.09, 69.55, 123.87),
    "aluminium bronze": (16, 259.28, 255.87, 122.85),
    "silicon bronze": (3, 20.65, 7.10, 25.81),
    "manganese and silicon brass": (12, 893.54, 809.59, 99.13),
    "cupronickel": (12, 297.81, 237.08, 107.02),
    "nickel silver": (23, 1776.64, 1621.64, 198.52),
    "cast red brass": (12, 1269.74, 1137.90, 104.53),
    "cast yellow brass": (13, 990.23, 980.74, 109.93),
    "cast manganese bronze": (12, 1103.58, 891.50, 97.74),
    "cast silicon bronze and brass": (7, 184.34, 643.85, 58.20),
    "cast bismuth brass and bronze": (4, 425.97, 380.60, 35.18),
    "cast tin bronze": (35, 3633.99, 3268.15, 309.70),
    "cast aluminium bronze": (16, 755.83, 1432.10, 120.21),
    "cast cupronickel": (3, 89.11, 68.95, 26.68),
    "cast nickel silver": (5, 503.04, 454.25, 42.92),
    "copper-phosphorus braze": (7, 80.10, 74.40, 57.55),
    "silver braze": (18, 1776.00, 1628.00, 166.55),
    "silver": (6, 264.07, 362.10, 61.91),
    "gold": (19, 1346.69, 1201.60, 267.62),
    "platinum group": (10, 88.20, 528.30, 174.38),
    "cast high copper": (9, 32.38, 18.67, 75.91),
    "copper resistance alloy": (3, 80.23, 70.00, 25.70),
    "coin alloy": (3, 307.30, 292.70, 25.24),
    "contact material": (10, 854.00, 790.00, 117.55),
    "dental alloy": (5, 408.80, 176.00, 57.40),
}

# grade, element, limit as a grade file writes it, where it stands (recalled, not copied from the grade files)
KNOWN_LIMITS = [
    ("C11000", "Cu", ">=99.9", "ASTM B152 table 1, C11000"),
    ("C12200", "P", "0.015-0.04", "ASTM B75 table 1, C12200"),
    ("C17200", "Be", "1.8-2", "ASTM B194 table 1, C17200"),
    ("C22000", "Cu", "89-91", "ASTM B36 table 1, C22000"),
    ("C26000", "Cu", "68.5-71.5", "ASTM B36 table 1, C26000"),
    ("C36000", "Cu", "60-63", "ASTM B16 table 1, C36000"),
    ("C37700", "Cu", "58-61", "ASTM B283 table 1, C37700"),
    ("CW614N", "Pb", "2.5-3.5", "EN 12164 table 1, CuZn39Pb3"),
    ("CW617N", "Pb", "1.6-2.5", "EN 12165 table 1, CuZn40Pb2"),
    ("C46400", "Sn", "0.5-1", "ASTM B21 table 1, C46400"),
    ("C51000", "Sn", "4.2-5.8", "ASTM B139 table 1, C51000"),
    ("C63000", "Ni", "4-5.5", "ASTM B150 table 1, C63000"),
    ("C65500", "Si", "2.8-3.8", "ASTM B98 table 1, C65500"),
    ("C70600", "Fe", "1-1.8", "ASTM B111 table 1, C70600"),
    ("C71500", "Ni", "29-33", "ASTM B111 table 1, C71500"),
    ("C75200", "Ni", "16.5-19.5", "ASTM B122 table 1, C75200"),
    ("C83600", "Pb", "4-6", "ASTM B62 table 1, C83600"),
    ("C86300", "Al", "5-7.5", "ASTM B584 table 1, C86300"),
    ("C93200", "Sn", "6.3-7.5", "ASTM B584 table 1, C93200"),
    ("C95400", "Al", "10-11.5", "ASTM B148 table 1, C95400"),
    ("CC491K", "Zn", "4-6", "EN 1982 table 1, CuSn5Zn5Pb5-C"),
    ("BCuP-5", "Ag", "14.5-15.5", "AWS A5.8 table 3, BCuP-5"),
    ("BAg-1", "Cd", "23-25", "AWS A5.8 table 1, BAg-1"),
    ("silver 925", "Ag", "92.5-93", "ISO 9202, fineness 925, with the Russian upper limit"),
]

# grades in rising order of one element: where the range of each ends, the next has gone past its middle
RISING = [
    ("Pb", ["C33500", "C34000", "C34200"], "low-, medium- and high-leaded 65 % brass"),
    ("Cu", ["C27400", "C26000", "C24000", "C23000", "C22000", "C21000"], "brasses by copper"),
    ("Sn", ["C50500", "C51100", "C51900", "C52100", "C52400"], "phosphor bronzes by tin"),
    ("Pb", ["C93200", "C93600", "C93800", "C94300"], "bearing bronzes by lead"),
    ("Ni", ["C70400", "C70600", "C72200", "C71000", "C71300", "C71500"], "cupronickels by nickel"),
    ("Ni", ["C74500", "C75700", "C75400", "C75200"], "65 % copper nickel silvers by nickel"),
    ("Pb", ["C46400", "C48200", "C48500"], "naval brass, medium and high leaded"),
    ("Al", ["C60800", "C61400", "C62300", "C62400"], "aluminium bronzes by aluminium"),
]

# the two differ only in the element named first, which the second does not limit
INHIBITED = [("As", "C44300"), ("Sb", "C44400"), ("P", "C44500"), ("As", "C46500")]


def grades_of(family: str) -> list[Grade]:
    return [grade for grade in load().grades if grade.family == family]


def middle(limit: Limit) -> float:
    low = 0.0 if limit.low is None else limit.low
    return (low + (100.0 if limit.high is None else limit.high)) / 2.0


@pytest.mark.parametrize("family", PINNED)
def test_counts_and_column_sums_are_as_pinned(family: str) -> None:
    """No grade is lost and no digit slips without this test saying so."""
    grades = grades_of(family)
    limits = [limit for grade in grades for limit in grade.limits.values() if limit.nominal is None]

    count, maxima, minima, densities = PINNED[family]

    assert len(grades) == count
    assert math.fsum(x.high for x in limits if x.high is not None) == pytest.approx(maxima, abs=0.0051)
    assert math.fsum(x.low for x in limits if x.low is not None) == pytest.approx(minima, abs=0.0051)
    assert math.fsum(g.density_g_cm3 for g in grades) == pytest.approx(densities, abs=0.0051)


@pytest.mark.parametrize(("grade_id", "element", "limit", "standard"), KNOWN_LIMITS)
def test_limit_is_the_one_of_the_standard(grade_id: str, element: str, limit: str, standard: str) -> None:
    """Well-known limits stand in the library as the standard states them."""
    assert load().grade(grade_id).limits[element] == read_limit(limit), standard


@pytest.mark.parametrize(("element", "grade_ids", "what"), RISING)
def test_siblings_rise_in_their_alloying_element(element: str, grade_ids: list[str], what: str) -> None:
    """A slipped digit or two swapped rows would break the order that the names of the siblings promise."""
    middles = [middle(load().grade(grade_id).limits[element]) for grade_id in grade_ids]

    assert middles == sorted(middles) and len(set(middles)) == len(middles), what


@pytest.mark.parametrize(("inhibitor", "grade_id"), INHIBITED)
def test_inhibited_brass_states_a_minimum_of_its_inhibitor(inhibitor: str, grade_id: str) -> None:
    """Arsenic, antimony or phosphorus against dezincification has a minimum, and no two stand together."""
    limits = load().grade(grade_id).limits

    assert limits[inhibitor].low == pytest.approx(0.02)
    assert {"As", "Sb", "P"} & set(limits) == {inhibitor}


def test_oxygen_free_and_tough_pitch_copper_differ_in_oxygen() -> None:
    """Oxygen-free copper holds at most 0.001 % O, tough pitch up to 0.04 % (ASTM B170, ASTM B152)."""
    library = load()

    assert library.grade("C10200").limits["O"].high == pytest.approx(0.001)
    assert library.grade("C11000").limits["O"].high == pytest.approx(0.04)


def test_footnotes_on_two_elements_together_are_kept() -> None:
    """Copper reckoned with its addition, cobalt with nickel: registered footnotes."""
    library = load()

    assert library.grade("C14500").sums == {"Cu+P+Te": read_limit(">=99.9")}
    assert library.grade("C17200").sums == {
        "Ni+Co": read_limit(">=0.2"),
        "Ni+Co+Fe": read_limit("<=0.6"),
    }


def test_scratch_colours_follow_the_composition() -> None:
    """Copper is red, red brass reddish, 70/30 yellow, aluminium bronze golden, cupronickel warm white."""
    shown = {
        "C11000": Colour.RED,
        "C23000": Colour.REDDISH,
        "C83600": Colour.REDDISH,
        "C93200": Colour.REDDISH,
        "C26000": Colour.YELLOW,
        "C36000": Colour.YELLOW,
        "C95400": Colour.GOLDEN,
        "C71500": Colour.WARM_WHITE,
        "C75200": Colour.WARM_WHITE,
        "silver 925": Colour.WHITE,
    }

    assert {grade_id: load().grade(grade_id).colour for grade_id in shown} == shown


def test_only_grades_with_iron_or_nickel_answer_a_magnet() -> None:
    """Copper alloys are non-magnetic unless about 1 % iron, or nickel, can stand free in them."""
    for family in PINNED:
        for grade in grades_of(family):
            if grade.base == "Cu" and grade.magnet is not MagneticClass.NON:
                iron = grade.limits["Fe"].high
                assert iron is not None and iron >= 1.0, grade.grade_id


def test_casting_numbers_state_casting_limits() -> None:
    """Under a casting number stand the limits of castings, and those of ingot inside them beside it."""
    numbers = ["CC330G", "CC331G", "CC332G", "CC333G", "CC334G", "CC750S", "CC751S", "CC752S", "CC766S"]
    library = load()

    for grade in map(library.grade, numbers):
        ingot = [other for other in grade.differences if "ingot" in other.note]
        assert ingot and "castings" in grade.note, grade.grade_id
        for other in ingot:
            limit = grade.limits[other.element]
            assert (limit.low or 0.0) <= (other.limit.low or 0.0), (grade.grade_id, other.element)
            assert (limit.high or 100.0) >= (other.limit.high or 100.0), (grade.grade_id, other.element)


def test_a_bronze_at_the_edge_of_two_casting_numbers_is_left_open() -> None:
    """A casting within CC333G and CC334G alike goes to neither alone, as ingot limits made it."""
    reading = Reading(values={"Cu": 76.2, "Al": 10.3, "Fe": 5.4, "Ni": 5.8, "Mn": 2.0}, technique="lab")
    facts = PieceFacts(shots=(Shot(reading=reading),), bench=BenchFacts(form=Form.CASTING))

    first, second, *_ = identify(facts, load()).candidates

    assert {first.grade.grade_id, second.grade.grade_id} == {"CC333G", "CC334G"}
    assert first.probability < 0.9


def test_every_grade_with_beryllium_raises_its_caution() -> None:
    """Whatever holds beryllium says so as soon as its number is known, with no reading at all."""
    holding = [g for g in load().grades if "Be" in g.limits and (g.limits["Be"].high or 0.0) >= 0.05]

    assert {"C17200", "C17460", "C82500", "C96600", "Ni-Cr dental alloy"} <= {g.grade_id for g in holding}
    for grade in holding:
        assert "BE" in {caution.caution_id for caution in cautions_of_grade(grade)}, grade.grade_id
