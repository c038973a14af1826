"""Where placements proved wrong, reckoned from rows that a shift leaves behind."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk
from console.desk.bays.downgrading import downgrade
from console.ledger.rows.rows import PieceEntry
from console.ledger.views.contradictions import Cause, Record, Score, record_of

STN = PieceEntry(bay="STN", grade_id="304", mass_g=10_000, pieces=1, line="10 304", sureness="settled")


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


def record(desk: Desk) -> Record:
    return record_of(desk.ledger, desk.yard)


def score(scores: tuple[Score, ...], name: str) -> Score:
    return next(one for one in scores if one.name == name)


def test_nothing_wrong_so_far(desk: Desk) -> None:
    """A placement that nobody contradicted is no contradiction."""
    desk.ledger.add_piece(STN, desk.person)

    found = record(desk)

    assert found.contradictions == ()
    assert (found.placed.entries, found.placed.mass_g, found.placed.wrong_share) == (1, 10_000, 0.0)


def test_a_moved_piece_counts_against_bay_grade_and_sureness(desk: Desk) -> None:
    """One of two pieces moved on: half the weight of STN and of 304 proved wrong."""
    desk.ledger.add_piece(STN, desk.person)
    row = desk.ledger.add_piece(STN, desk.person)
    desk.review.move(row.row_id, "SFC", "Cu 1.4 on a ground spot")

    found = record(desk)

    (one,) = found.contradictions
    assert (one.cause, one.was_bay, one.is_bay, one.was_grade_id) == (Cause.MOVED, "STN", "SFC", "304")
    assert one.reason == "Cu 1.4 on a ground spot"
    for scored in (
        score(found.by_bay, "STN"),
        score(found.by_grade, "304"),
        score(found.by_sureness, "settled"),
    ):
        assert (scored.entries, scored.wrong_entries, scored.wrong_g) == (2, 1, 10_000)
        assert scored.wrong_share == pytest.approx(0.5)
        assert scored.went_to == {"SFC": 1}


def test_a_move_that_was_taken_back_and_a_voided_piece_count_nothing(desk: Desk) -> None:
    """What was undone or voided does not count against a placement."""
    row = desk.ledger.add_piece(STN, desk.person)
    desk.review.move(row.row_id, "SFC", "slip")
    desk.undo()
    gone = desk.ledger.add_piece(STN, desk.person)
    desk.review.move(gone.row_id, "SFC", "wrong")
    desk.review.void(gone.row_id, "twice")

    found = record(desk)

    assert found.contradictions == ()
    assert found.placed.entries == 1


@pytest.mark.parametrize(("bay", "wrong"), [("STN", 0), ("STM", 1)])
def test_a_hold_is_contradicted_only_where_it_went_elsewhere(desk: Desk, bay: str, wrong: int) -> None:
    """A held piece was likeliest 304 at 55 %, so STN: resolved to STN nothing was wrong, to STM it was."""
    held = replace(
        STN,
        bay="HLD",
        tag=desk.ledger.next_tag(),
        sureness="open",
        evidence={
            "candidates": [{"grade": "304", "probability": 0.55}, {"grade": "316", "probability": 0.1}]
        },
    )
    row = desk.ledger.add_piece(held, desk.person)
    desk.ledger.resolve(row.row_id, bay, "shot again", desk.person, grade_id="316")

    found = record(desk)

    assert (found.held, found.resolved, found.resolved_otherwise) == (1, 1, wrong)
    assert [one.cause for one in found.contradictions] == [Cause.RESOLVED] * wrong
    assert found.placed.entries == 0


def test_a_hold_with_nothing_likely_cannot_be_wrong(desk: Desk) -> None:
    """A hold of which nothing was likely cannot have been resolved otherwise."""
    held = replace(STN, bay="HLD", grade_id=None, tag=desk.ledger.next_tag(), sureness="")
    row = desk.ledger.add_piece(held, desk.person)
    desk.ledger.resolve(row.row_id, "NIX", "lab", desk.person, grade_id="Alloy 400")

    found = record(desk)

    assert (found.resolved, found.resolved_otherwise, found.contradictions) == (1, 0, ())


def test_a_downgrade_counts_against_its_bay_and_by_weight_against_its_grades(desk: Desk) -> None:
    """30 kg of 304 and 10 kg of 321 went into the bale; 8 kg downgraded are 6 and 2 of them."""
    for grade_id, mass_g in (("304", 30_000), ("321", 10_000)):
        desk.ledger.add_piece(replace(STN, grade_id=grade_id, mass_g=mass_g), desk.person)
    desk.ledger.draw_down("STN", 40_000, desk.person, body={"bale": "T1-STN-0001"})
    desk.ledger.add_piece(replace(STN, grade_id="310S"), desk.person)

    row = downgrade(desk, "T1-STN-0001", "8 kg", "manganese 6 %", grade="201").row

    found = record(desk)
    bay = desk.yard.bay("STN")
    lost = 8.0 * (bay.price_per_kg - bay.downgrade_per_kg)
    stn = score(found.by_bay, "STN")
    assert (stn.downgraded_g, stn.loss) == (8_000, pytest.approx(lost))
    assert stn.wrong_share == pytest.approx(8 / 50)
    assert score(found.by_grade, "304").downgraded_g == 6_000
    assert score(found.by_grade, "321").loss == pytest.approx(lost / 4)
    assert score(found.by_grade, "310S").loss == 0.0
    assert found.placed.loss == pytest.approx(lost)
    assert found.contradictions[-1].row_id == row.row_id
    assert found.contradictions[-1].is_grade_id == "201"
    assert found.by_grade[0].name == "304"


def test_only_one_run_or_only_from_a_time_on(desk: Desk, clock: Callable[[], datetime]) -> None:
    """The record can be kept to a run, or to what came from a time on."""
    row = desk.ledger.add_piece(STN, desk.person)
    desk.review.move(row.row_id, "SFC", "wrong")
    later = clock()
    desk.ledger.add_piece(STN, desk.person)

    since = record_of(desk.ledger, desk.yard, start=later)
    other = record_of(desk.ledger, desk.yard, run_id="T1-0099")

    assert (since.placed.entries, since.contradictions) == (1, ())
    assert other.placed.entries == 0


def test_undo_takes_a_downgrade_back(desk: Desk) -> None:
    """An undone downgrade costs nothing any more."""
    desk.ledger.add_piece(STN, desk.person)
    desk.ledger.draw_down("STN", 10_000, desk.person, body={"bale": "T1-STN-0001"})
    downgrade(desk, "STN", "2 kg", "paint", loss=3.5)
    assert record(desk).placed.loss == pytest.approx(3.5)

    desk.undo()

    assert record(desk).placed.loss == 0.0
