"""Twins read as one answer."""

from hypothesis import given
from hypothesis import strategies as st

from grade_library.library import load
from grade_library.verdict import Candidate, answers_of

GRADES = load().grades[:8]


def candidate(index: int, probability: float, twins: tuple[int, ...] = ()) -> Candidate:
    """Return a candidate with some of the others as its twins."""
    return Candidate(
        grade=GRADES[index], probability=probability, twins=tuple(GRADES[twin] for twin in twins)
    )


def test_twins_share_one_answer_with_their_sum() -> None:
    """53 and 29 % of two twins are 82 % of one answer; a third grade stands by itself."""
    answers = answers_of([candidate(0, 0.53, (1,)), candidate(1, 0.29, (0,)), candidate(2, 0.11)])

    assert [len(answer.members) for answer in answers] == [2, 1]
    assert round(answers[0].probability, 6) == 0.82


def test_a_split_answer_leads_over_a_likelier_single_grade() -> None:
    """Two twins of 30 % each come before one grade of 40 %."""
    answers = answers_of([candidate(0, 0.4), candidate(1, 0.3, (2,)), candidate(2, 0.3)])

    assert [one.grade for one in answers[0].members] == [GRADES[1], GRADES[2]]


@given(st.lists(st.tuples(st.floats(0.001, 0.2), st.sets(st.integers(0, 7))), min_size=1, max_size=8))
def test_no_candidate_is_lost_or_doubled(made: list[tuple[float, set[int]]]) -> None:
    """Whatever is whose twin, every candidate stands in exactly one answer, the answers by their sums."""
    candidates = [candidate(i, p, tuple(twins)) for i, (p, twins) in enumerate(made)]

    answers = answers_of(candidates)

    shown = [one.grade.grade_id for answer in answers for one in answer.members]
    assert sorted(shown) == sorted(one.grade.grade_id for one in candidates)
    sums = [answer.probability for answer in answers]
    assert sums == sorted(sums, reverse=True)
