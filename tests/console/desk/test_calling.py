"""A name that would more likely be wrong than right is not said: the class is, or that there is none."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from console.cli import main
from console.desk import Desk
from console.desk.piece.calling import Called, called
from console.ledger.views.period import GroupBy, pieces_between, totals_by
from grade_library.grade import Grade
from grade_library.library import load
from grade_library.verdict import Candidate, FamilyShare, Verdict


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """The demo yard, open."""
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


def verdict(families: dict[tuple[str, str], float], unlisted: float = 0.0, **shares: float) -> Verdict:
    """Return what a piece can be by grades ("g304") and by families with their groups."""
    grades = load()
    found = [
        Candidate(grade=grades.grade(name.removeprefix("g")), probability=share)
        for name, share in shares.items()
    ]
    return Verdict(
        candidates=tuple(found),
        unlisted=unlisted,
        families=tuple(
            FamilyShare(family=family, group=group, series=family, listed=share, unlisted=0.0)
            for (family, group), share in families.items()
        ),
    )


AUSTENITIC, FERRITIC = ("austenitic stainless", "stainless"), ("ferritic stainless", "stainless")


def test_a_grade_is_the_name_from_an_even_chance_on() -> None:
    """At 0.50 the grade is said; just below it the family, and the grade as the nearest."""
    even = called(verdict({AUSTENITIC: 0.9}, g304=0.50, g316=0.40))
    below = called(verdict({AUSTENITIC: 0.9}, g304=0.49, g316=0.41))

    assert (even.words, even.class_name) == ("304, 50 % likely", "")
    assert below.words == "austenitic stainless, 90 % likely, nearest 304 (49 %)"
    assert below.grade_id == "304"


def test_twins_are_one_name_with_their_sum() -> None:
    """Twins of 0.3 each are named together at 0.6; one that is hardly likely is not among them."""
    shared = verdict({AUSTENITIC: 0.9}, g304=0.30, g304L=0.30, g316=0.2, g303=0.01)
    twins = tuple(load().grade(name) for name in ("304L", "303"))
    first = replace(shared.candidates[0], twins=twins)
    name = called(replace(shared, candidates=(first, *shared.candidates[1:])))

    assert (name.words, name.twins) == ("304 or 304L, 60 % likely", ("304L",))


def test_many_twins_are_their_class_and_the_nearest_of_them() -> None:
    """Four names of one metal read like a table: the class is said, and the likeliest beside it."""
    shared = verdict({AUSTENITIC: 0.98}, g304=0.4, g304L=0.3, g304H=0.1, g304N=0.1)
    twins = tuple(load().grade(name) for name in ("304L", "304H", "304N"))
    first = replace(shared.candidates[0], twins=twins)
    name = called(replace(shared, candidates=(first, *shared.candidates[1:])))

    assert name.words == "austenitic stainless, 98 % likely, nearest 304 (90 %)"
    assert name.twins == ("304L", "304H", "304N")


def test_several_twins_are_a_list_and_a_thing_is_called_by_its_name() -> None:
    """Three names that nothing tells apart read as a list; a thing that nobody read is given no chance."""
    three = Called(grade_id="304", twins=("304L", "CF8"), share=0.893)
    thing = called(
        Verdict(candidates=(Candidate(grade=_thing("brake discs"), probability=1.0),), unlisted=0.0)
    )

    nearly = [Called(grade_id="304", share=share).words for share in (0.989, 0.996, 1.0)]

    assert three.words == "304, 304L or CF8, 89 % likely"
    assert nearly == ["304, 99 % likely", "304, >99 % likely", "304, >99 % likely"]
    assert thing.words == "brake discs, by its name"


def _thing(name: str) -> Grade:
    found = load().dictionary.material(name)
    assert found is not None
    return found.as_answer()


def test_the_narrowest_class_that_is_likely_is_said_else_none() -> None:
    """Two families of one group are the group; where not even that is likely, nothing is named or kept."""
    group = called(verdict({AUSTENITIC: 0.45, FERRITIC: 0.40}, g304=0.3, g430=0.3))
    none = called(verdict({AUSTENITIC: 0.3, ("brass", "brass"): 0.3}, g304=0.3))
    far = called(verdict({AUSTENITIC: 0.05}, g304=0.05))

    assert group.words == "stainless, 85 % likely, nearest 304 (30 %)"
    assert (none.words, none.grade_id, none.class_name) == ("no name, nearest 304 (30 %)", None, "")
    assert far.words == "no name"
    assert called(Verdict(candidates=(), unlisted=1.0)).words == "no name"


def test_metal_of_no_listed_grade_is_called_by_its_family() -> None:
    """Where an unlisted alloy leads, no grade is kept or said to be near, however likely its family is."""
    name = called(verdict({AUSTENITIC: 0.9}, unlisted=0.6, g304=0.3))

    assert (name.words, name.grade_id) == ("austenitic stainless, 90 % likely", None)


def test_entry_history_tally_and_handover_call_a_piece_alike(desk: Desk) -> None:
    """Cast iron settled in its bay is cast iron everywhere, not the first of five irons; same again too."""
    sentence = desk.tally(desk.consider("30.5 m2 cast iron casting")).sentence
    again = desk.same_again(desk.consider("12")).sentence
    second, first = desk.review.pieces()

    assert "FER iron and steel: cast iron, >99 % likely, nearest Ductile cast iron" in sentence
    assert sentence.endswith("settled")
    assert ": cast iron, as the piece before" in again
    assert {piece.grade_label for piece in (first, second)} == {"cast iron"}
    assert {piece.class_label for piece in (first, second)} == {"cast iron"}
    sums = totals_by(pieces_between(desk.ledger), GroupBy.GRADE)
    assert [(one.name, one.entries) for one in sums] == [("cast iron", 2)]


def test_metal_that_may_be_several_grades_is_summed_by_its_class(
    desk: Desk, capsys: pytest.CaptureFixture[str]
) -> None:
    """The tally by grade says copper, as the office's report does, and not the first of three coppers."""
    desk.tally(desk.consider("9.8 copper wire"))
    assert desk.review.pieces()[0].twins

    main(["tally", "--yard", str(desk.yard.folder), "--by", "grade"])
    said = capsys.readouterr().out
    assert "copper " in said and "C11000" not in said


def test_a_hold_that_nobody_can_name_bears_no_grade(desk: Desk) -> None:
    """A grade of a tenth of the odds is no name; resolved by a reading it has one, undone none again."""
    desk.tally(desk.consider("5.1 radiator ?"))
    [held] = desk.review.pieces()
    assert (held.grade_id, held.grade_label) == (None, "")

    said = desk.review.resolve(held.row_id, "cu99.9", "shot").sentence
    assert "copper" in desk.review.pieces()[0].grade_label or desk.review.pieces()[0].grade_id
    assert " no name" not in said
    desk.undo()
    assert desk.review.pieces()[0].grade_label == ""
