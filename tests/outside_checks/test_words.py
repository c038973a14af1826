"""The words of the yard: what sorters type in five languages, each with its source in the list beside this
file."""

from collections import Counter

import pytest

from tests.benchmarks.designations import Tried, ways
from tests.benchmarks.words import AFRESH_FILE, ASKED_FILE, WORDS_FILE, Answer, Row, judged, read_list

LEAST_RIGHT = {"en": 0.97, "de": 0.95, "fr": 0.95, "es": 0.95, "it": 0.95}
"""Least share of the words of a language that are understood."""


@pytest.fixture(scope="module")
def answers() -> list[tuple[Row, Answer]]:
    """Every word of the list with what came of it."""
    return list(judged(read_list(WORDS_FILE)))


@pytest.mark.parametrize("language", LEAST_RIGHT)
def test_the_words_of_a_language_are_understood(answers: list[tuple[Row, Answer]], language: str) -> None:
    """At least 97 % of the English and 95 % of the foreign words mean on the line what they mean in the
    yard."""
    counts = Counter(answer for row, answer in answers if row.language == language)

    missed = [row.word for row, answer in answers if row.language == language and answer is not Answer.RIGHT]
    assert counts.total() >= 300
    assert counts[Answer.RIGHT] / counts.total() >= LEAST_RIGHT[language], missed


def test_every_code_word_of_the_circular_names_its_material(answers: list[tuple[Row, Answer]]) -> None:
    """Every code word is a name of a material, or asked where a yard knows the word for something else."""
    circular = [(row.word, answer) for row, answer in answers if row.kind == "circular"]

    assert len(circular) > 180
    assert [word for word, answer in circular if answer is not Answer.RIGHT] == []


def test_no_word_is_the_wrong_metal_without_a_question(answers: list[tuple[Row, Answer]]) -> None:
    """What is not understood is asked; nothing is named as something else."""
    assert [row.word for row, answer in answers if answer is Answer.WRONG] == []


def test_what_means_nothing_or_too_much_is_asked() -> None:
    """300 words that name no metal, or a slip of one, get a question or are not known."""
    asked = list(judged(read_list(ASKED_FILE)))

    assert len(asked) == 300
    assert [row.word for row, answer in asked if answer is not Answer.RIGHT] == []


LEAST_RIGHT_AFRESH = 0.92
"""Least share of the words written afresh that are understood, all languages together."""


def test_words_written_afresh_are_understood_and_never_wrong() -> None:
    """Of words that somebody wrote down from no list, few are asked and none is taken for another metal."""
    afresh = list(judged(read_list(AFRESH_FILE)))
    counts = Counter(answer for _, answer in afresh)

    assert counts.total() >= 120
    assert [row.word for row, answer in afresh if answer is Answer.WRONG] == []
    assert counts[Answer.RIGHT] / counts.total() >= LEAST_RIGHT_AFRESH, counts


def test_every_word_has_its_source() -> None:
    """Each row of the lists says where the word comes from."""
    rows = [*read_list(WORDS_FILE), *read_list(ASKED_FILE), *read_list(AFRESH_FILE)]

    assert all(row.source.strip() and row.means.strip() for row in rows)


EVERY = 7
"""One of so many ways to type a designation is tried in the suite; `python -m tests.benchmarks words` tries
all."""
SMALL_SYSTEM = 100
"""Ways of a system with fewer are tried all."""
LEAST_FOUND = 0.99
"""Least share of the designations of a system that lead to their grade, or to a choice that holds it."""


def test_designations_of_the_library_lead_to_their_grades() -> None:
    """At least 99 % of the designations that the library holds, of each system, name their grade on a line
    with a weight, in the ways in which people write them."""
    tried = Tried()
    every = list(ways(tried.library))
    number_of = Counter(typed.system for typed in every)
    counts = Counter[tuple[str, bool]]()

    for place, typed in enumerate(every):
        if place % EVERY == 0 or number_of[typed.system] < SMALL_SYSTEM:
            counts[typed.system, tried.leads_there(typed)] += 1

    systems = {system for system, _ in counts}
    missed = {system: counts[system, False] for system in systems if counts[system, False]}
    assert len(systems) > 12
    assert {
        system: number
        for system, number in missed.items()
        if number > max(1, (1.0 - LEAST_FOUND) * (number + counts[system, True]))
    } == {}
