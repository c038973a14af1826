"""Shots in order: which agree, and when a series has come to rest."""

import pytest

from grade_library.facts import Reading, Shot
from grade_library.skin.series import agree, is_whole, looks_at_surface, stages_of
from grade_library.technique import profiles


def shot(values: dict[str, float], *, ground: bool = False, technique: str = "xrf") -> Shot:
    return Shot(reading=Reading(values=values, technique=technique), is_ground=ground)


BRASS = {"Cu": 70.1, "Zn": 29.8}
BRASS_AGAIN = {"Cu": 69.8, "Zn": 30.1}
PLATED = {"Ni": 82.0, "Cu": 14.0, "Zn": 3.9}


def test_shots_within_the_noise_are_one_stage() -> None:
    """Two readings that differ by what the analyser scatters are the same state of the spot."""
    stages = stages_of([shot(BRASS), shot(BRASS_AGAIN)], profiles())
    assert len(stages) == 1
    assert stages[0].n_shots == 2
    assert stages[0].averaged.values["Cu"] == pytest.approx(69.95)


def test_a_changed_reading_is_a_new_stage() -> None:
    """A reading that moved when the spot was ground begins another stage."""
    stages = stages_of([shot(PLATED), shot(BRASS, ground=True)], profiles())
    assert [stage.first for stage in stages] == [0, 1]
    assert stages[1].is_ground_before


@pytest.mark.parametrize(
    ("series", "has_settled"),
    [
        ([shot(BRASS)], False),
        ([shot(BRASS), shot(BRASS_AGAIN)], False),
        ([shot(BRASS), shot(BRASS_AGAIN, ground=True)], True),
        ([shot(PLATED), shot(BRASS, ground=True)], False),
        ([shot(PLATED), shot(BRASS, ground=True), shot(BRASS_AGAIN)], True),
        ([shot(PLATED), shot(BRASS, ground=True), shot(BRASS_AGAIN, ground=True)], True),
        ([shot(BRASS, ground=True)], False),
    ],
)
def test_a_series_settles_when_two_shots_agree_after_a_grind(series: list[Shot], has_settled: bool) -> None:
    """Agreement counts only once the spot was ground; one shot is never enough."""
    assert stages_of(series, profiles())[-1].has_settled is has_settled


def test_an_element_that_appears_parts_two_readings() -> None:
    """Nickel that the other reading has no room for is a difference."""
    with_nickel = Reading(values={"Cu": 68.0, "Zn": 29.5, "Ni": 2.4})
    assert not agree(with_nickel, Reading(values=BRASS), profiles())


def test_an_element_that_was_not_typed_parts_nothing() -> None:
    """Half a reading, typed by hand, says nothing of the elements that it leaves out."""
    assert agree(Reading(values={"Cu": 70.0}), Reading(values=BRASS), profiles())


def test_readings_of_two_techniques_are_never_one_stage() -> None:
    """X-ray and laser look at different depths: each speaks for itself."""
    one, other = Reading(values=BRASS), Reading(values=BRASS, technique="libs")
    assert not agree(one, other, profiles())


def test_a_certificate_is_no_shot_at_a_surface() -> None:
    """A laboratory dissolves its sample: nothing lies on it."""
    assert not looks_at_surface(shot(BRASS, technique="lab"), profiles())
    assert looks_at_surface(shot(BRASS, technique="libs"), profiles())
    assert looks_at_surface(shot(BRASS, technique="of a yard that did not describe it"), profiles())


def test_a_few_elements_typed_alone_are_no_whole_reading() -> None:
    """While a reading is being typed it says nothing of a skin."""
    assert not is_whole(shot({"Ni": 61.0}))
    assert is_whole(shot({"Zn": 76.0, "Fe": 23.0}))
