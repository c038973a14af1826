"""Bare numbers and names: which is the weight, which the grade."""

import pytest

from console.entry.draft import Mark
from console.entry.gathering import gather
from console.entry.parse import parse_line
from console.entry.token_kind import TokenKind
from console.yard.yard import Yard
from grade_library.facts import Claim
from grade_library.naming.names import NameIndex
from grade_library.technique import profiles
from tests.console.entry.conftest import Reader, token


@pytest.mark.parametrize(
    ("line", "mass_g", "label"),
    [
        ("12.4 304", 12_400, "304"),
        ("304 12.4", 12_400, "304"),
        ("12,4kg 304", 12_400, "304"),
        ("200 304", 200_000, "304"),
        ("6061 5", 5_000, "6061"),
        ("200 brass", 200_000, "brass"),
        ("brass 200", 200_000, "brass"),
        ("12.4 260 brass", 12_400, "C26000"),
        ("12.4 yellow brass", 12_400, "yellow brass"),
        ("yellow brass 12.4", 12_400, "yellow brass"),
        ("12.4 nickel silver", 12_400, "nickel silver"),
        ("12.4 nickel silver 65-18", 12_400, "C75200"),
        ("12.4 89-11 tin bronze", 12_400, "C90700"),
        ("12.4 Ti 6Al 4V 0.5Ni 0.05Pd", 12_400, "Ti Grade 25"),
        ("12.4 300 series", 12_400, "300 series"),
        ("6061-T6 4", 4_000, "6061"),
        ("12.4 cast iron", 12_400, "cast iron"),
        ("5 alloy 20", 5_000, "Alloy 20"),
        ("5 inconel 718", 5_000, "Alloy 718"),
        ("12.4 #m2", 12_400, "M2"),
        ("5 ti64", 5_000, "Ti-6Al-4V"),
        ("5kg d2", 5_000, "D2"),
        ("cu 5.2", 5_200, "copper"),
        ("5.2 cu", 5_200, "copper"),
        ("1.4301 5", 5_000, "304"),
        ("12.4 1 4301", 12_400, "304"),
        ("12.4 18 8", 12_400, "18-8"),
        ("12.4 C 36000", 12_400, "C36000"),
        ("12.4 T 12005", 12_400, "T5"),
        ("12.4 CW 306 G", 12_400, "CW306G"),
        ("12.4 gr 5", 12_400, "Ti-6Al-4V"),
        ("12.4 10 CrMo9-10", 12_400, "A335 P22"),
        ("12.4 356.0", 12_400, "356.0"),
        ("12.4 W6Mo5Cr4V2", 12_400, "W6Mo5Cr4V2: near M2, not the same;"),
        ("12.4 Sn96.5Ag3Cu0.5", 12_400, "SAC305"),
        ("12.4 AA 1050", 12_400, "1050"),
    ],
)
def test_weight_and_name(read: Reader, line: str, mass_g: int, label: str) -> None:
    """Weight and name are found in any order and unit."""
    parsed = read(line)

    assert parsed.problems == ()
    assert parsed.mass_g == mass_g
    assert token(parsed, TokenKind.CLAIM).meaning.split(" taken as grade")[0] == label
    assert parsed.facts.claim is not None


@pytest.mark.parametrize(
    ("line", "mass_g", "symbols"),
    [
        ("12.4 cr 18 ni 8", 12_400, {"Cr", "Ni"}),
        ("12.4 al99.5 si0.2", 12_400, {"Al", "Si"}),
        ("12.4 w 6 mo 5", 12_400, {"W", "Mo"}),
        ("12.4 sn96.5 ag3 cu0.5", 12_400, {"Sn", "Ag", "Cu"}),
        ("200.0 mixed", 200_000, set()),
    ],
)
def test_figures_beside_symbols_stay_readings(
    read: Reader, line: str, mass_g: int | None, symbols: set[str]
) -> None:
    """A number that could stand in a name belongs to the symbol before it, and what a scale shows is a
    weight."""
    parsed = read(line)

    assert parsed.mass_g == mass_g
    assert {symbol for shot in parsed.facts.shots for symbol in shot.reading.values} == symbols
    assert parsed.facts.claim is None


def test_a_lone_number_that_names_a_grade_says_how_to_make_it_a_weight(read: Reader) -> None:
    """A lone number that names a grade is the grade, and the echo shows how to make it a weight."""
    parsed = read("304")

    assert parsed.mass_g is None
    assert token(parsed, TokenKind.CLAIM).meaning == "304 taken as grade; weight: 304kg"
    assert read("304kg").mass_g is None  # above the bench scale
    assert read("204kg").mass_g == 204_000


def test_a_short_number_is_a_weight_though_grades_are_called_so(read: Reader) -> None:
    """ "5" and "20" name grades too; a lone short number is a weight all the same."""
    assert [read(line).mass_g for line in ("5", "20", "5 m0")] == [5_000, 20_000, 5_000]


def test_both_numbers_name_grades_then_the_first_is_the_weight(read: Reader) -> None:
    """Of two numbers that both name grades the first is the weight."""
    parsed = read("110 304")

    assert parsed.mass_g == 110_000
    assert parsed.facts.claim is not None and parsed.facts.claim.label == "304"


def test_two_numbers_that_name_nothing_are_asked_back(read: Reader) -> None:
    """A second number that names nothing is asked back, and the line cannot be tallied."""
    parsed = read("12.4 13.1")

    assert parsed.mass_g == 12_400
    assert "second weight" in parsed.problems[0]
    assert not parsed.can_be_tallied


def test_a_near_name_is_taken_and_marked(read: Reader) -> None:
    """A slip in a word is taken for the name and marked as a guess."""
    parsed = read("12.4 yelow brass")

    assert parsed.problems == ()
    assert token(parsed, TokenKind.CLAIM).meaning == 'close to yellow brass, typed "yelow brass"?'
    assert parsed.facts.claim is not None and not parsed.facts.claim.is_exact


@pytest.mark.parametrize("line", ["5 3o4", "5 al6062"])
def test_a_slip_in_a_designation_is_never_taken_for_its_neighbour(read: Reader, line: str) -> None:
    """A slip in a number names another metal, so it names none."""
    parsed = read(line)

    assert parsed.facts.claim is None
    assert len(parsed.problems) == 1


def test_a_designation_that_only_its_system_knows_is_said_to_be_that(read: Reader) -> None:
    """C36100 is a leaded brass by its number; it is not given to C36000, its neighbour."""
    parsed = read("5 c36100")

    claim = parsed.facts.claim
    assert claim is not None and {"C36000", "C34500"} < claim.grade_ids
    assert "not in the library" in token(parsed, TokenKind.CLAIM).meaning


def test_a_second_name_narrows_the_first(read: Reader) -> None:
    """Two names together mean what both can mean."""
    claim = read("5 aluminium 6061").facts.claim

    assert claim is not None
    assert claim.grade_ids == {"6061"}


def test_names_that_exclude_each_other_are_asked_back(read: Reader) -> None:
    """Two names of different metals are asked back."""
    assert read("5 304 brass kg").problems != ()
    assert read("5kg 304 brass").problems == ("keep one name: no grade is both 304 and brass",)


def test_a_reserved_word_beside_a_name_keeps_its_meaning(read: Reader) -> None:
    """A word of the vocabulary beside a name is a fact of its own."""
    parsed = read("5 304 clean")

    assert [surface.value for surface in parsed.facts.bench.surfaces] == ["bare"]
    assert parsed.facts.claim is not None and parsed.facts.claim.label == "304"


def test_a_yard_in_pounds_reads_bare_numbers_as_pounds(names: NameIndex, yard: Yard) -> None:
    """A bare number is in the unit of the yard."""
    from dataclasses import replace

    parsed = parse_line("3 304", names=names, yard=replace(yard, weight_unit="lb"))

    assert parsed.mass_g == 1_361
    assert token(parsed, TokenKind.WEIGHT).meaning == "3.00 lb"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("0", "above 0"),
        ("-5 304", "above 0"),
        ("0kg", "above 0"),
        ("500kg", "above the 300.00 kg of the bench scale"),
        ("1,200", "two ways"),
        ("5kg 6kg", "keep one weight"),
        ("12,4,5 304", "one point or comma"),
        ("1.2.3", "one point or comma"),
        ("1 ton", "which ton"),
        ("x0 5", "type x1 to x10000"),
        ("x3 x4 5", "keep one count"),
    ],
)
def test_a_weight_or_count_that_cannot_be_is_a_problem(read: Reader, line: str, said: str) -> None:
    """A weight or count that cannot be is a problem, and the line cannot be tallied."""
    parsed = read(line)

    assert any(said in problem for problem in parsed.problems), parsed.problems
    assert not parsed.can_be_tallied


@pytest.mark.parametrize("line", ["12.4 x3", "12.4 3x", "12.4 3pcs", "12.4 3 pcs", "12.4 x 3", "3PC 12.4"])
def test_a_count_leaves_the_weight_alone(read: Reader, line: str) -> None:
    """A count changes nothing about the weight of the whole entry."""
    parsed = read(line)

    assert (parsed.count, parsed.mass_g, parsed.problems) == (3, 12_400, ())


def together(*claims: Claim) -> Claim:
    """What the names of a line mean together."""
    marks = [
        Mark(kind=TokenKind.CLAIM, first=place, last=place, meaning="", value=claim)
        for place, claim in enumerate(claims)
    ]
    found = gather(marks, "xrf", profiles()).facts.claim
    assert found is not None
    return found


def test_of_two_names_the_narrower_is_told_and_a_guess_stays_one() -> None:
    """Whatever the order, the grade and not its group; a guess beside an exact name is still a guess."""
    narrow = Claim(text="304", label="304", grade_ids=frozenset({"304"}))
    wide = Claim(text="stainles", label="stainless", grade_ids=frozenset({"304", "316"}), is_exact=False)

    for one, other in ((narrow, wide), (wide, narrow)):
        found = together(one, other)
        assert (found.label, found.grade_ids, found.is_exact) == ("304", {"304"}, False)
        assert found.text == f"{one.text} {other.text}"


def test_a_box_that_weighs_as_much_as_the_whole_is_refused() -> None:
    """Nothing is left of 28 kg in a box of 28 kg: which of the two is too much is for the person to say."""
    problem = parse_line("28-28 304", names=None, yard=None).problems[0]

    assert problem.startswith("type gross-tare, the heavier first")
