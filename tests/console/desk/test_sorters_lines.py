"""Lines as a sorter types them, into the demo yard: what leads, where the piece goes, what is said.

What each should come to is common practice of yards: a magnet that holds, the colour of a file mark and heft
outweigh a name; a reading of what others are plated with is not the metal; plain copper holds no beryllium.
"""

from dataclasses import dataclass
from pathlib import Path

import pytest

from console import desk as sorters_desk
from console.yard.placing.placement import Placement, Sureness
from grade_library.verdict import Verdict

DEMO = Path(__file__).parents[3] / "demo_yard"


@dataclass(frozen=True, kw_only=True)
class Told:
    """What the program says of a line."""

    verdict: Verdict
    placement: Placement
    next_check: str
    problems: tuple[str, ...]

    def share(self, *names: str) -> float:
        """Return the probability of some groups or series, unlisted members counted."""
        return sum(one.probability for one in self.verdict.families if {one.group, one.series} & set(names))


class Sorter:
    """Types lines, as `baywright identify --yard demo_yard` takes them."""

    def __init__(self) -> None:
        self.known = sorters_desk.open_yardless(DEMO)

    def types(self, line: str) -> Told:
        """Return what is said of a line."""
        considered = sorters_desk.consider_line(line, self.known)
        assert considered.placement is not None
        return Told(
            verdict=considered.verdict,
            placement=considered.placement,
            next_check=sorters_desk.next_step(considered, self.known),
            problems=considered.parsed.problems,
        )


@pytest.fixture(scope="module")
def sorter() -> Sorter:
    return Sorter()


MAGNET_HOLDS = {
    "4 copper pipe m2": (("steel",), ("copper",)),
    "4 yellow brass m2": (("steel",), ("brass",)),
    "3 304 .s m2": (("400", "duplex", "PH", "steel"), ("300",)),
    "5 6061 .e m2": (("steel",), ("aluminium",)),
}


@pytest.mark.parametrize("line", MAGNET_HOLDS)
def test_a_magnet_that_holds_outweighs_the_name(sorter: Sorter, line: str) -> None:
    """The likelier metal leads, nothing is settled, and the line says what to look for."""
    likelier, named = MAGNET_HOLDS[line]

    told = sorter.types(line)

    assert told.share(*likelier) > told.share(*named)
    assert told.placement.sureness is not Sureness.SETTLED
    assert "does not hold a magnet: plated steel, or steel in it?" in told.placement.reason


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2 yellow brass sr", "CHECK yellow brass does not file red: plated, or another metal?"),
        ("4 copper pipe se", "CHECK copper pipe does not file grey: plated, or another metal?"),
        ("7 alu wheel h1", "CHECK alu wheel is not very light: hollow, or another metal?"),
        ("7 alu wheel m2", "CHECK alu wheel does not hold a magnet: plated steel, or steel in it?"),
    ],
)
def test_hand_and_eye_against_a_name_are_said(sorter: Sorter, line: str, said: str) -> None:
    """The colour of a file mark and the heft are put against the name, of a thing as of a grade."""
    told = sorter.types(line)

    assert said in told.placement.reason
    assert told.placement.sureness is not Sureness.SETTLED


def test_a_thing_that_the_bench_agrees_with_is_not_doubted(sorter: Sorter) -> None:
    """A light wheel without a pull is what it is called; a motor is no one metal, so nothing speaks against
    it."""
    for line in ("7 alu wheel h2 m0", "7 electric motor h2"):
        assert not sorter.types(line).verdict.warnings


@pytest.mark.parametrize(
    ("line", "bay"),
    [
        ("820g cu bare", "CUB"),
        ("3 copper", "CUB"),
        ("3 copper bar", "CUB"),
        ("3,4 cu tube", "CUB"),
        ("2.2 cu99.8", "CUB"),
        ("2.2 cu99.7 fe0.05", "CUB"),
        ("5 copper sheet", "CUM"),
    ],
)
def test_plain_copper_is_not_held_for_beryllium(sorter: Sorter, line: str, bay: str) -> None:
    """Pipe, wire, sheet and bus bar hold none (common practice): they go to a copper bay."""
    told = sorter.types(line)

    assert told.placement.bay.code == bay
    assert "C17200" not in told.placement.reason or told.placement.sureness is not Sureness.OPEN


@pytest.mark.parametrize(("one", "other"), [("3.4 cu tube", "3.4 copper tube"), ("3 al cans", "3 alu cans")])
def test_one_thing_in_two_words_gets_one_answer(sorter: Sorter, one: str, other: str) -> None:
    """A symbol before the word of a thing is the name of its metal."""
    first, second = sorter.types(one), sorter.types(other)

    assert first.verdict.share_by_id == pytest.approx(dict(second.verdict.share_by_id))
    assert first.placement.bay == second.placement.bay


def test_a_slipped_point_is_asked_and_not_tallied(sorter: Sorter) -> None:
    """`cr182` is no grade: what it may have been is offered."""
    told = sorter.types("3 cr182 ni81")

    assert any("cr182" in problem and "cr18.2" in problem for problem in told.problems)
    assert told.placement.sureness is not Sureness.SETTLED


@pytest.mark.parametrize(
    ("line", "family"),
    [
        ("3 SS400", "structural steel"),
        ("3 A706", "structural steel"),
        ("3 P110", "low-alloy steel"),
        ("3 EN8", "carbon steel"),
        ("3 EN31", "low-alloy steel"),
    ],
)
def test_a_steel_by_its_number_is_no_metal_of_another_family(sorter: Sorter, line: str, family: str) -> None:
    """SS400 is no Alloy 400, P110 no copper, EN31 no nickel alloy."""
    told = sorter.types(line)

    assert told.verdict.families[0].family == family
    assert told.placement.bay.code == "FER"


def test_a_chromed_die_casting_goes_with_the_zinc(sorter: Sorter) -> None:
    """The third shot shows the core to anybody; the coat that fell is named, and nothing is settled."""
    told = sorter.types(
        "4 libs cr60 ni27 fe2 zn10 al0.5 // cr27 ni12 fe1 zn57.6 al2.4 // cr4 ni1.8 fe0.2 zn90 al3.9"
    )

    assert told.share("zinc") > 0.95
    assert (told.placement.bay.code, told.placement.sureness) == ("ZDC", Sureness.LEANING)
    assert "chromium over nickel on it" in told.placement.reason


def test_a_chromed_brass_goes_with_the_yellow_brass(sorter: Sorter) -> None:
    """The core is sure as a class and its bay takes it: the piece goes there with its skin noted."""
    told = sorter.types("4.2 libs ni25 cr65 cu6 zn2 // cu64 zn18 ni16 // cu70 zn26 ni2")

    assert (told.placement.bay.code, told.placement.sureness) == ("YBR", Sureness.LEANING)
    assert "chromium over nickel on it" in told.placement.reason


@pytest.mark.parametrize(
    ("line", "tell"),
    [
        ("2 xrf cu64 zn18 ni16", "file it: white through and through is nickel silver"),
        ("1 xrf mn.76 cr15.4 fe74.4 ni7.6", "try the magnet: a strong pull is chromed steel"),
    ],
)
def test_what_reads_like_a_skin_is_not_settled_and_what_splits_it_is_said(
    sorter: Sorter, line: str, tell: str
) -> None:
    """Nickel silver beside nickel-plated brass, a lean stainless beside chromed steel: the cheapest check is
    named with what its answers mean."""
    told = sorter.types(line)

    assert told.placement.sureness is not Sureness.SETTLED
    assert tell in told.next_check


def test_an_uncleaned_sheet_is_austenitic_and_to_be_cleaned(sorter: Sorter) -> None:
    """Cr 23.5, Ni 6.5 and no pull is a dirty 300-series sheet (common practice), not 2205 without its Mo."""
    told = sorter.types("3 libs cr23.5 fe67 ni6.5 m0")

    assert told.verdict.families[0].family == "austenitic stainless"
    assert told.placement.bay.code == "STN"
    assert "clean the spot and shoot again" in told.next_check


def test_a_superalloy_of_no_list_is_one_and_is_not_settled(sorter: Sorter) -> None:
    """Its family is told by likeness: the bay that takes the family gets it, leaning, near grades named."""
    told = sorter.types("3 lab ni54 cr14 fe7 mo6 nb3.4 co8 w4 al1.9 ti1.7")

    assert told.verdict.families[0].family == "nickel superalloy" and told.verdict.unlisted > 0.5
    assert len(told.verdict.nearest) == 3
    assert (told.placement.bay.code, told.placement.sureness) == ("NIX", Sureness.LEANING)
    assert "told by its likeness to the family alone" in told.placement.reason


def test_a_die_casting_just_over_its_iron_is_settled(sorter: Sorter) -> None:
    """Fe 0.103 against 0.1 is an off-spec melt of the grade, said so, and goes with the others."""
    told = sorter.types("2 lab zn95.85 al4 mg.04 cu.02 fe.103")

    assert told.placement.bay.code == "ZDC"
    assert "a melt just off in Fe: " in told.verdict.candidates[0].reasons[0].text
