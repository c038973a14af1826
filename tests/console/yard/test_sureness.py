"""What may be called settled: readings that are only begun, things by their name, doubts that are said."""

from dataclasses import replace
from pathlib import Path

import pytest

from console.yard.placing.place import place
from console.yard.placing.placement import Sureness
from console.yard.yard import Yard
from grade_library.facts import BenchFacts, Claim, MagnetPull, PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary
from grade_library.verdict import Candidate, SkinVerdict, Verdict
from tests.console.yard.test_placing import verdict
from tests.yards import load_yard


@pytest.fixture
def yard(folder: Path, library: GradeLibrary) -> Yard:
    return load_yard(folder, library)


@pytest.mark.parametrize(
    ("values", "is_settled"),
    [
        ({"Cr": 18.2}, False),  # 82 % of the metal is not named
        ({"Fe": 71.0, "Cr": 18.2}, False),  # the base is, and 11 % are not
        ({"Cr": 18.2, "Ni": 8.1}, True),  # the base metal left out
        ({"Mg": 2.3, "Si": 0.1, "Fe": 0.2, "Mn": 0.1}, False),  # so it is here, and zinc or copper may come
        ({"Mg": 2.3, "Si": 0.1, "Fe": 0.2, "Mn": 0.1, "Zn": 5.0}, True),
        ({"Fe": 99.2}, True),  # all of it named
        ({"Fe": 71.0, "Cr": 17.2, "Ni": 8.1}, True),  # three of them: the analyser shows no more
        ({"Al": 93.1, "Mg": 1.3, "Mn": 0.9}, False),  # nearly 5 %: in aluminium that may be all its copper
        ({"Fe": 71.0, "Cr": 15.2, "Ni": 8.1}, False),  # nearly 6 % are missing: a line of it, or a slip
    ],
)
def test_a_reading_that_is_only_begun_settles_nothing(
    library: GradeLibrary, yard: Yard, values: dict[str, float], is_settled: bool
) -> None:
    """What the reading leaves unnamed may be what decides: said with how much that is. A name settles, and so
    does a magnet where the base metal is left out."""
    facts = PieceFacts(shots=(Shot(reading=Reading(technique="xrf", values=values)),))
    sure = verdict(library, {"304": 0.999, "316": 0.001})
    placement = place(sure, facts, None, yard)
    claim = Claim(text="304", label="304", grade_ids=frozenset({"304"}))
    named = place(sure, replace(facts, claim=claim), None, yard)
    held = place(sure, replace(facts, bench=BenchFacts(magnet=MagnetPull.STRONG)), None, yard)

    assert (placement.sureness is Sureness.SETTLED) is is_settled
    unnamed = f"{100 - sum(values.values()):.3g} % of the metal is not in the reading yet"
    assert (unnamed in placement.reason) is not is_settled
    assert named.sureness is Sureness.SETTLED
    assert (held.sureness is Sureness.SETTLED) is (is_settled or len(values) == 4)


def test_a_thing_taken_by_its_name_is_not_called_certain(library: GradeLibrary, yard: Yard) -> None:
    """Of a thing that nobody read the reason says so, and gives no chance."""
    thing = library.dictionary.material("electric motor")
    assert thing is not None
    named = Verdict(candidates=(Candidate(grade=thing.as_answer(), probability=1.0),), unlisted=0.0)
    ids = frozenset({"electric motor"})
    motors = replace(yard.bays[0], grade_ids=ids, element_limits={}, code="MOT")
    placement = place(named, PieceFacts(), None, replace(yard, bays=(motors, *yard.bays[1:])))

    read = place(verdict(library, {"304": 1.0}), PieceFacts(), None, yard)

    assert placement.reason.startswith("bay MOT: takes it by its name; nothing is read of it")
    assert "by its name" not in read.reason
    assert "100 %" not in placement.reason


def test_what_keeps_a_sure_bay_from_settled_is_always_said(library: GradeLibrary, yard: Yard) -> None:
    """A skin that is not likely enough to be suspected, and likely enough to doubt: with its chance."""
    skin = SkinVerdict(
        is_suspected=False,
        coating=None,
        probability=0.15,
        shares=(0.0,),
        has_arrived=False,
        core=(),
        advice="",
    )
    sure = replace(verdict(library, {"304": 0.999}, unlisted=0.001), skin=skin)
    placement = place(sure, PieceFacts(), None, yard)

    assert placement.sureness is Sureness.LEANING
    assert "not settled: 15 % that a skin is what was read" in placement.reason


def test_what_tells_nothing_goes_nowhere_by_habit(library: GradeLibrary, yard: Yard) -> None:
    """However much of one metal a yard meets, a piece of which nothing tells waits."""
    guess = replace(verdict(library, {"304": 0.97}), is_guess=True)
    placement = place(guess, PieceFacts(), None, yard)

    assert placement.bay.is_hold and placement.sureness is Sureness.OPEN
    assert placement.reason.startswith("hold: nothing known yet")
    assert not place(replace(guess, is_guess=False), PieceFacts(), None, yard).bay.is_hold
