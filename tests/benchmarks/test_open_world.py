"""The open-world benchmark runs on a few metals, leaves whole families out, prints every bin and share."""

import pytest

from console.desk.piece.known import load_yard_and_library
from console.yard.yard import Yard
from grade_library.library import GradeLibrary
from grade_library.technique import profiles
from grade_library.verdict import FamilyShare, Verdict
from tests.benchmarks.certified import Material, materials
from tests.benchmarks.judging import Judge
from tests.benchmarks.left_out import by_family, group_shares, truth_of, without
from tests.benchmarks.open_world import (
    DEMO_YARD,
    LEFT_OUT,
    TECHNIQUES,
    Tally,
    World,
    report,
    run_clean,
    run_left_out,
)
from tests.benchmarks.scores import BINS, bins, every_bin

FAMILIES = ("duplex stainless", "titanium")
"""Of the one the group stays in the library, of the other it goes."""


@pytest.fixture(scope="module")
def everything() -> tuple[Yard, GradeLibrary]:
    return load_yard_and_library(DEMO_YARD)


@pytest.fixture(scope="module")
def world(everything: tuple[Yard, GradeLibrary]) -> World:
    """A world of two groups, which is quick to read."""
    yard, whole = everything
    grades = [grade for grade in whole.grades if grade.group in {"stainless", "titanium"}]
    library = GradeLibrary(grades, whole.sources)
    judges = {key: Judge(library, profiles()[key]) for key in TECHNIQUES}
    return World(library=library, yard=yard, judges=judges)


@pytest.fixture(scope="module")
def few(everything: tuple[Yard, GradeLibrary]) -> list[Material]:
    """One metal of each of the two families."""
    _, library = everything
    found = by_family(materials(library), library)
    return [found[family][0] for family in FAMILIES]


def test_a_family_left_out_is_gone_with_its_unlisted_member(world: World, few: list[Material]) -> None:
    """No grade of the family stays, every other does; what is left of the group should lead."""
    left = {family: without(world.library, family) for family in FAMILIES}

    for family, fewer in left.items():
        gone = {grade.grade_id for grade in world.library.grades} - {grade.grade_id for grade in fewer.grades}
        assert gone == {g.grade_id for g in world.library.grades if g.family == family}
    assert truth_of(few[0], left["duplex stainless"]) == "stainless"
    assert truth_of(few[1], left["titanium"]) == ""


def test_groups_are_summed_with_their_unlisted_members() -> None:
    """Brass and bronze count together, listed and unlisted; what is of no family stands for itself."""
    brass = FamilyShare(family="brass", group="brass", series="brass", listed=0.3, unlisted=0.2)
    bronze = FamilyShare(family="bronze", group="bronze", series="bronze", listed=0.1, unlisted=0.0)

    shares = group_shares(Verdict(candidates=(), unlisted=0.6, families=(brass, bronze), no_family=0.4))

    assert shares == pytest.approx({"copper alloy": 0.6, "": 0.4})


def test_every_bin_is_there_empty_or_not() -> None:
    """Ten bins come of any figures, and those that hold any are the same as before."""
    said, came = [0.05, 0.95, 0.97, 1.0], [False, True, False, True]

    found = every_bin(said, came)

    assert [one.n for one in found] == [1, 0, 0, 0, 0, 0, 0, 0, 0, 3]
    assert (found[9].said, found[9].came) == pytest.approx((2.92 / 3.0, 2.0 / 3.0))
    assert [one.n for one in bins(said, came)] == [1, 3]


def test_a_small_run_prints_bins_and_shares(
    world: World, few: list[Material], capsys: pytest.CaptureFixture[str]
) -> None:
    """The table tells of the family left out apart from the rest: ten bins each, and what of either is
    settled and wrong."""
    tally = Tally()
    run_clean(tally, few, 1, world)
    run_left_out(tally, few, 1, world)

    report("two metals", tally, 0)

    lines = capsys.readouterr().out.splitlines()
    assert len(tally.said[LEFT_OUT]) == len(few) * len(TECHNIQUES)
    cells = [line.count(":") for line in lines if "-:-(0)" in line]
    assert cells == [BINS] * (len(TECHNIQUES) + 1)


def test_what_is_left_out_has_a_share_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    """A wrong settled placement of a family left out is none of the rest, and a share is said of either, with
    nothing settled too, which meets no target."""
    report("one of each", Tally(settled=[("clean: a", True), (f"{LEFT_OUT}: b", False)]), 0)
    report("nothing", Tally(), 0)

    lines = capsys.readouterr().out.splitlines()
    rows = [line.split() for line in lines if "settled and wrong" in line]
    assert [" met" in line for line in lines if line.strip().startswith("settled and wrong  ")] == [
        True,
        False,
    ]
    shares = [
        row[row.index("of") - 1 : row.index("of") + 2] for row in rows if "of" in row and "wrong:" not in row
    ]
    assert shares == [["0.000", "of", "1"], ["1.000", "of", "1"], ["0.000", "of", "0"], ["0.000", "of", "0"]]
