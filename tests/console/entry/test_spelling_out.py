"""What is left out in a run of readings is written out onto the line."""

import pytest

from console.entry.editing.spelling_out import Habit, elements_of, habit_of, spelled_out
from console.entry.parse import parse_line
from grade_library.library import GradeLibrary, load
from grade_library.naming.names import NameIndex


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    """The shipped grades."""
    return load()


STAINLESS = Habit(elements=("Cr", "Ni", "Fe"), technique="xrf")


def full(line: str, habit: Habit, library: GradeLibrary, names: NameIndex, yard: object = None) -> str:
    """Return a line written out."""
    return spelled_out(line, habit, names=names, yard=yard, grade=library.grade)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("8 =18.2 8.1 71", "8 cr=18.2 ni=8.1 fe=71"),
        ("8=18.2 8,1 m0 ; =4 5", "8 cr=18.2 ni=8,1 m0 ; =4 5"),
        ("8 =18.2 - 71", "8 cr=18.2 fe=71"),
        ("8 =18.2 8.1 // =17.9 8.3", "8 cr=18.2 ni=8.1 // cr=17.9 ni=8.3"),
        ("2.1 yellow brass =61 35", "2.1 yellow brass cu=61 zn=35"),
        ("4 6061 =.9 .6", "4 6061 mg=.9 si=.6"),
        ("8 fe =71 cr 18", "8 fe =71 cr 18"),
        ("8 =1 2 3 4", "8 =1 2 3 4"),
        ("8 cr18.2 ni8.1", "8 cr18.2 ni8.1"),
    ],
)
def test_values_alone_get_the_symbols_of_the_reading_before_or_of_the_metal_named(
    typed: str, wanted: str, library: GradeLibrary, names: NameIndex
) -> None:
    """In their order; more values than elements stay as typed, and notes are text."""
    assert full(typed, STAINLESS, library, names) == wanted


def test_values_that_nobody_can_name_are_a_problem_and_no_weight(names: NameIndex) -> None:
    """The line says what is missing; no value becomes a weight or a number of a norm."""
    parsed = parse_line("8 =18.2 8.1 71", names=names, yard=None)

    assert (parsed.mass_g, parsed.can_be_tallied, parsed.facts.is_empty) == (8_000, False, True)
    assert "type the elements, as cr18.2 ni8.1: '=18.2 8.1 71'" in parsed.problems[0]


def test_values_begun_with_a_symbol_that_nobody_can_go_on_from_are_no_weight(names: NameIndex) -> None:
    """Where no reading began so, the values behind are asked about with it."""
    parsed = parse_line("=ti90 6 4.1v", names=names, yard=None)

    assert (parsed.mass_g, parsed.can_be_tallied) == (None, False)
    assert "'=ti90 6' does not name all" in parsed.problems[0]


@pytest.mark.parametrize(
    ("line", "elements"),
    [
        ("8 18.2cr8.1ni71fe", ("Cr", "Ni", "Fe")),
        ("2 cu 61.4 zn=35.2 pb<0.1 ; ni", ("Cu", "Zn", "Pb")),
        ("2 brass ni82.1 cr17 // cu61 zn36", ("Ni", "Cr")),
    ],
)
def test_the_order_is_that_of_the_first_shot_as_typed(
    line: str, elements: tuple[str, ...], names: NameIndex
) -> None:
    """Names, notes and further shots change nothing about it; a line without a reading tells none."""
    habit = habit_of(line, names=names, yard=None)

    assert habit is not None
    assert habit.elements == elements
    assert habit_of("8 304", names=names, yard=None) is None


def test_the_order_of_a_metal_is_by_content_with_iron_and_aluminium_last(library: GradeLibrary) -> None:
    """Of brass the copper leads, of steel and aluminium what tells them apart."""
    first = {one: elements_of([library.grade(one)]) for one in ("304", "C36000", "6061")}

    assert (first["304"][:2], first["304"][-1]) == (("Cr", "Ni"), "Fe")
    assert first["C36000"][:2] == ("Cu", "Zn")
    assert (first["6061"][:2], first["6061"][-1]) == (("Mg", "Si"), "Al")


BRASS_THEN_STEEL = Habit(elements=("Cu", "Zn", "Pb"), earlier=(("Cr", "Ni", "Fe"), ("Cu", "Sn", "Pb")))


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("8=cr18.2 8.1 71", "8 cr=18.2 ni=8.1 fe=71"),
        ("8=61 35 3", "8 cu=61 zn=35 pb=3"),
        ("8=cu61 35", "8 cu=61 zn=35"),
        ("8=cr18.2 fe71.5", "8 cr=18.2 fe=71.5"),
        ("8=cr18.2 fe71.5 3", "8=cr18.2 fe71.5 3"),
        ("8=cr18.2 mo2.1 8.1", "8 cr=18.2 mo=2.1 ni=8.1"),
        ("8=cr18.2ni8.1 71.m0", "8 cr=18.2 ni=8.1 fe=71. m0"),
        ("8=ti90 6", "8=ti90 6"),
        ("8=ti90.1v4", "8 ti=90.1 v=4"),
        ("8 304 =ni8.1 1.2", "8 304 ni=8.1 mn=1.2"),
        ("8=cr18.2 s7", "8 cr=18.2 s7"),
        ("8=xx18.2 4", "8=xx18.2 4"),
    ],
)
def test_a_symbol_says_which_order_holds_and_where_it_goes_on(
    typed: str, wanted: str, library: GradeLibrary, names: NameIndex
) -> None:
    """Of the last reading that began with it, else of the metal; where nobody knows one the line stays."""
    assert full(typed, BRASS_THEN_STEEL, library, names) == wanted


def test_of_readings_that_begin_alike_the_newest_order_is_kept() -> None:
    """One order for each first symbol; a reading never forgets those that began otherwise."""
    steel = Habit(elements=("Cr", "Ni")).after(Habit(elements=("Cu", "Zn"), earlier=(("Cr", "Fe"),)))

    assert (steel.order_from("Cr"), steel.order_from("Cu"), steel.order_from("Ti")) == (
        ("Cr", "Ni"),
        ("Cu", "Zn"),
        (),
    )
    assert steel.earlier == (("Cu", "Zn"),)
