"""A uniform lot: what to check, when to stop, what is proved, and that it survives being written down."""

import json
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from console.yard.lots.lot_words import pick_words, plan_words, progress_words, result_words
from console.yard.lots.uniform_lot import LotState, UniformLot, lot_from_json, start_lot
from grade_library.errors import ObservationError
from grade_library.lots.sampling import chance_of_passing


def check(lot: UniformLot, answers: str) -> UniformLot:
    """Check pieces one after another: r right, w wrong."""
    for answer in answers:
        lot = lot.record(is_right=answer == "r", found="" if answer == "r" else "2024")
    return lot


def test_a_clean_lot_is_done_after_the_first_step() -> None:
    """45 of 100 clean: fewer than 5 % wrong, 95 % sure (hypergeometric, checked against scipy elsewhere)."""
    lot = start_lot("L1", "6061", 100, seed=1)

    almost, done = check(lot, "r" * 44), check(lot, "r" * 45)

    assert plan_words(lot) == "check 45 of 100 pieces with none wrong: below 5 % wrong, 95 % sure"
    assert (almost.state, almost.to_go) == (LotState.GO_ON, 1)
    assert (done.state, done.to_go, done.next_pick) == (LotState.UNIFORM, 0, None)
    assert (done.bound().low, done.bound().high) == (0, 4)
    assert progress_words(done) == (
        "uniform: 0 wrong among 45 checked, at most 4 of 100 wrong, 95 % sure. Tally it by one weight."
    )


def test_one_wrong_piece_ends_a_lot_that_allows_none() -> None:
    """A lot that allows no wrong piece ends with the first one."""
    lot = check(start_lot("L1", "6061", 100, seed=1), "rrw")

    assert lot.state is LotState.NOT_UNIFORM
    assert lot.wrong == 1
    assert progress_words(lot).startswith("not uniform: 1 wrong among 3 checked")
    assert progress_words(lot).endswith("Sort it piece by piece.")


def test_one_wrong_piece_changes_the_plan_and_says_how() -> None:
    """A wrong piece that is allowed lengthens the plan, and the words say by how much."""
    lot = check(start_lot("L1", "6061", 100, seed=1, accept=1), "rrrw")
    before, now = lot.plan.steps

    assert lot.state is LotState.GO_ON
    assert lot.to_go == now - 4
    assert f"1 wrong: the plan goes from {before} to {now} pieces" in progress_words(lot)
    assert "one more and it is sorted piece by piece" in progress_words(lot)
    assert check(lot, "w").state is LotState.NOT_UNIFORM
    assert check(lot, "r" * (now - 4)).state is LotState.UNIFORM


def test_picks_are_all_different_and_inside_the_lot() -> None:
    """A whole lot can be checked, each piece once."""
    lot = start_lot("L1", "304", 12, seed=3, share=0.01)
    picks = []
    while lot.next_pick is not None:
        picks.append(lot.next_pick)
        lot = check(lot, "r")

    assert sorted(picks) == list(range(1, 13))
    assert picks != sorted(picks)
    assert lot.bound().high == 0


def test_picks_are_spread_over_the_lot() -> None:
    """Over many seeds the first pick is at every place about equally often."""
    first = [start_lot("L", "304", 10, seed=seed).next_pick for seed in range(2000)]

    assert all(140 < first.count(place) < 260 for place in range(1, 11))


def test_places_in_a_stack_are_said() -> None:
    """Piece 37 of rows of 5: row 8, place 2."""
    lots = [start_lot("L", "304", 60, seed=seed, per_row=5) for seed in range(300)]
    lot = next(lot for lot in lots if lot.next_pick == 37)

    assert pick_words(start_lot("L", "304", 60, seed=lot.seed)) == "piece 37"
    assert pick_words(start_lot("L", "304", 60, seed=lot.seed, per_row=5)) == "piece 37: row 8, place 2"


def test_a_check_can_be_taken_back() -> None:
    """A check of a lot can be undone, and nothing before the first."""
    lot = start_lot("L1", "6061", 40, seed=1)

    assert check(lot, "w").undo() == lot
    with pytest.raises(ObservationError, match="Nothing was checked"):
        lot.undo()


def test_a_finished_lot_takes_no_more_checks() -> None:
    """Once a lot is judged it takes no more checks."""
    with pytest.raises(ObservationError, match="have ended: not uniform"):
        check(start_lot("L1", "6061", 40, seed=1), "wr")


def test_a_heap_that_nobody_counted_follows_walds_lines() -> None:
    """A heap without a count is uniform at the sequential test's own number, not one piece before."""
    heap = start_lot("L1", "yellow brass", None, seed=4)
    needed = heap.test.needed(0)

    done = check(heap, "r" * needed)

    assert check(heap, "r" * (needed - 1)).state is LotState.GO_ON
    assert done.state is LotState.UNIFORM
    assert done.bound().is_share
    assert done.bound().high < 0.05
    assert "take the next piece" in pick_words(heap)
    assert check(heap, "ww").state is LotState.NOT_UNIFORM
    assert "a clean run now ends at" in progress_words(check(heap, "r" * 40 + "w"))


def test_a_heap_is_left_undecided_in_the_end() -> None:
    """Wrong pieces now and then, never enough for either line: the test ends and says so."""
    heap, rng = start_lot("L1", "304", None, seed=4), random.Random(2)
    while heap.state is LotState.GO_ON:
        edge = heap.test.accept_at + heap.test.slope * (heap.checked + 1)
        heap = check(heap, "w" if heap.wrong <= edge + 0.5 and rng.random() < 0.9 else "r")

    assert heap.state is LotState.UNDECIDED
    assert "Count the lot" in progress_words(heap)


@settings(max_examples=40, deadline=None)
@given(
    count=st.one_of(st.none(), st.integers(1, 300)),
    accept=st.integers(0, 2),
    seed=st.integers(0, 2**31),
    answers=st.text("rrrrrw", max_size=60),
)
def test_a_lot_survives_being_written_down(count: int | None, accept: int, seed: int, answers: str) -> None:
    """Whatever was checked, the lot read back is the same, and asks for the same piece."""
    lot = start_lot("L1", "6061", count, seed=seed, accept=accept)
    for answer in answers:
        if lot.state is not LotState.GO_ON:
            break
        lot = check(lot, answer)

    back = lot_from_json(json.loads(json.dumps(lot.to_json())))

    assert back == lot
    assert (back.next_pick, back.state, back.bound()) == (lot.next_pick, lot.state, lot.bound())
    assert result_words(back) == result_words(lot)


def test_a_lot_with_too_many_wrong_pieces_rarely_passes() -> None:
    """2000 simulated lots of 60 with 5 wrong, one allowed: no more pass than the risk of 5 % lets."""
    plan = start_lot("L", "304", 60, seed=0, accept=1, share=0.08).plan
    rng, passed = random.Random(7), 0
    for _ in range(2000):
        wrong = set(rng.sample(range(60), 5))
        order = rng.sample(range(60), 60)
        found = 0
        for drawn, piece in enumerate(order, start=1):
            found += piece in wrong
            needed = plan.needed(found)
            if needed is None:
                break
            if drawn >= needed:
                passed += 1
                break

    assert chance_of_passing(plan, 5) <= 0.05
    assert passed / 2000 == pytest.approx(chance_of_passing(plan, 5), abs=0.015)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"count": 0}, "a lot of 0 pieces: needs 1 to 100000"),
        ({"count": 10, "share": 1.0}, "share of wrong pieces 1: needs more than 0, less than 1"),
        ({"count": 10, "confidence": 0.3}, "confidence 0.3: needs 0.5 to below 1"),
        ({"count": 10, "accept": 3}, "acceptance number 3: needs 0 to 2"),
        ({"count": 10, "per_row": 0}, "0 pieces in a row: needs at least 1"),
    ],
)
def test_what_cannot_be_is_refused(options: dict[str, object], said: str) -> None:
    """A lot that cannot be is refused with the reason."""
    with pytest.raises(ObservationError) as error:
        start_lot("L1", "6061", seed=1, **options)

    assert said in str(error.value)
