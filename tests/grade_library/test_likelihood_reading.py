"""Several shots on one piece made into one observation."""

import math

import numpy as np
import pytest

from grade_library.facts import Reading, Shot
from grade_library.library import load
from grade_library.matcher.evidence import compiled_for
from grade_library.reading import average, metal_shots
from grade_library.technique import profiles


def _shot(values: dict[str, float], **more: object) -> Shot:
    is_ground = bool(more.pop("is_ground", False))
    return Shot(reading=Reading(values=values, **more), is_ground=is_ground)  # type: ignore[arg-type]


def test_repeated_shots_are_averaged_with_a_smaller_uncertainty() -> None:
    """Four equal shots give their mean and less than one shot's uncertainty, but never half: calibration
    stays."""
    one = average([_shot({"Ni": 8.0, "Cr": 18.0})], profiles())[0]
    four = average([_shot({"Ni": 8.0, "Cr": 18.0})] * 4, profiles())[0]

    assert four.values["Ni"] == pytest.approx(8.0)
    assert 0.5 * one.sigma["Ni"] < four.sigma["Ni"] < one.sigma["Ni"]


def test_shots_that_disagree_widen_the_uncertainty() -> None:
    """The spread between shots counts where it is larger than the technique's own error."""
    agreeing = average([_shot({"Ni": 8.0}), _shot({"Ni": 8.1})], profiles())[0]
    apart = average([_shot({"Ni": 6.0}), _shot({"Ni": 10.0})], profiles())[0]

    assert apart.values["Ni"] == pytest.approx(8.0)
    assert apart.sigma["Ni"] > 1.5
    assert agreeing.sigma["Ni"] < 0.2


def test_shots_before_the_last_grind_do_not_count_for_the_metal() -> None:
    """What was read before the spot was ground tells of the skin."""
    shots = [
        _shot({"Ni": 90.0}),
        _shot({"Ni": 20.0}, is_ground=True),
        _shot({"Ni": 1.0}, is_ground=True),
        _shot({"Ni": 1.2}),
    ]

    kept = metal_shots(shots)

    assert [shot.reading.values["Ni"] for shot in kept] == [1.0, 1.2]


def test_an_element_missed_in_one_shot_counts_half_its_limit() -> None:
    """Found once at 0.10, once not above 0.04: the mean is taken with 0.02."""
    found = average([_shot({"Mo": 0.10}), _shot({}, below={"Mo": 0.04})], profiles())[0]

    assert found.values["Mo"] == pytest.approx(0.06)
    assert "Mo" not in found.below


def test_techniques_are_kept_apart() -> None:
    """An x-ray and a laser shot stay two readings, each with its own error model."""
    found = average([_shot({"Ni": 8.0}), _shot({"Ni": 8.4}, technique="libs")], profiles())

    assert [one.profile.key for one in found] == ["xrf", "libs"]


def test_an_element_that_the_technique_cannot_see_is_left_out() -> None:
    """Carbon typed into an x-ray reading is named and not used."""
    found = average([_shot({"C": 0.4, "Cr": 1.0})], profiles())[0]

    assert found.unseen == ("C",)
    assert "C" not in found.values


def test_a_nearly_pure_metal_is_known_by_what_it_is_not() -> None:
    """After scaling to 100 %, 99.9 % copper is uncertain by the little rest, not by 1.2 % of itself: by its
    iron and by what stayed unreported, twice 0.025 %; the iron is as uncertain as ever."""
    iron = profiles()["xrf"].sigma("Fe", 0.1)
    pure = average([_shot({"Cu": 99.9, "Fe": 0.1})], profiles())[0]
    alone = average([_shot({"Cu": 99.9})], profiles())[0]

    assert alone.sigma["Cu"] == pytest.approx(0.05, rel=0.01)
    assert pure.sigma["Cu"] == pytest.approx(math.hypot(0.05, iron), rel=0.01)
    assert pure.sigma["Fe"] == pytest.approx(iron, rel=0.01)


def test_a_sum_that_misses_100_leaves_the_main_element_open() -> None:
    """Iron at 95 of a reading that sums to 96 is no better known than the technique alone knows it; a gap of
    rounding, or of an alloy whose traces were not typed, changes nothing."""
    alone = profiles()["xrf"].sigma("Fe", 95.0)
    short = average([_shot({"Fe": 95.0, "Mn": 1.0})], profiles())[0].sigma["Fe"]
    rounded = average([_shot({"Fe": 98.6, "Mn": 1.0})], profiles())[0].sigma["Fe"]
    whole = average([_shot({"Fe": 99.0, "Mn": 1.0})], profiles())[0].sigma["Fe"]
    a_little = average([_shot({"Fe": 98.0, "Mn": 1.0})], profiles())[0].sigma["Fe"]

    assert short == pytest.approx(alone)
    assert rounded == pytest.approx(whole, rel=0.01)
    alloyed, full = (
        average([_shot({"Fe": iron, "Ni": 20.0})], profiles())[0].sigma["Fe"] for iron in (77.0, 80.0)
    )
    assert alloyed == pytest.approx(full, rel=0.05)
    # 98/99 of the gap of 1 less what rounding leaves, spread evenly from none of it to all of it.
    assert a_little == pytest.approx(math.hypot(whole, 98.0 / 99.0 * 0.5 / math.sqrt(3.0)), rel=0.01)


def test_a_stated_uncertainty_is_used_but_not_believed_blindly() -> None:
    """An instrument's own figure replaces the model's, down to a third of it."""
    model = profiles()["lab"].sigma("Ni", 8.0)

    wide = average([_shot({"Ni": 8.0}, sigma={"Ni": 0.5}, technique="lab")], profiles())[0]
    tiny = average([_shot({"Ni": 8.0}, sigma={"Ni": 1e-6}, technique="lab")], profiles())[0]

    assert wide.sigma["Ni"] == pytest.approx(0.5)
    assert tiny.sigma["Ni"] == pytest.approx(model / 3.0)
    assert math.isfinite(tiny.sigma["Ni"])


def test_a_grade_has_the_sum_of_what_every_element_adds() -> None:
    """Of elements that were found, looked for, or not reported though a grade asks for them."""
    library = load()
    averaged = average(
        [_shot({"Cr": 18.1, "Ni": 8.2, "Fe": 66.0}, below={"Mo": 0.02, "Al": 0.1})], profiles()
    )[0]
    reading = compiled_for(library).readable(library, averaged.profile).read(averaged)

    one_by_one = reading.of_elements(np.arange(len(library)))

    manganese = reading.readable.melts.elements.index("Mn")
    assert (one_by_one[:, manganese] < 0.0).any()
    np.testing.assert_allclose(reading.of_grades, one_by_one.sum(axis=1), rtol=0.0, atol=1e-9)
