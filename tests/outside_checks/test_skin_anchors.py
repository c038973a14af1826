"""Worked numbers for the parts of the skin finder, by definition, scipy.stats and integrals."""

import math
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest
from scipy import stats

from grade_library.facts import PieceFacts
from grade_library.library import load
from grade_library.matcher.evidence import Evidence
from grade_library.matcher.hypotheses import Joint, Posterior
from grade_library.matcher.likelihood import Observed
from grade_library.skin.attenuation import Physics
from grade_library.skin.conclusion import _core_reading, _weigh
from grade_library.skin.gate import is_worth_a_look
from grade_library.skin.hypotheses import CoatedPiece, StageView
from grade_library.skin.remnant import FILM_ODDS, _added_density, _films, _patches
from grade_library.skin.series import Stage
from grade_library.skin.unmix import density_after_grind


def reading_of(*values: float) -> Observed:
    """Elements read at these values, each with 0.1 wt %; a negative one was not found below that much."""
    found = np.array(values)
    return Observed(
        value=np.where(found >= 0.0, found, np.nan), sigma=np.full(found.shape, 0.1),
        below=np.where(found < 0.0, -found, np.nan), gap=0.0, is_elsewhere=np.zeros(found.shape, dtype=bool),
    )  # fmt: skip


def test_a_core_beside_patches_of_a_coat() -> None:
    """reading = s coat + (1 - s) core, solved for the core."""
    cores = _patches(reading_of(30.0, 40.0, -0.05), reading_of(0.0, 80.0, 2.0), np.zeros(3))

    assert cores is not None
    assert len(cores.share) == 4
    left = 1.0 - cores.share
    assert cores.value[:, 0] == pytest.approx(30.0 / left)
    assert cores.value[:, 1] == pytest.approx(np.maximum((40.0 - cores.share * 80.0) / left, 1e-4))


def test_the_odds_of_unknown_films_are_shares() -> None:
    """They are all there is of such films: 1 together."""
    assert math.fsum(FILM_ODDS) == pytest.approx(1.0)


@pytest.mark.parametrize("value", [0.1, 0.7, 1.3, 2.5, 6.0])
def test_what_a_film_adds_to_a_range(value: float) -> None:
    """A uniform [0.5, 1.5] plus an exponential of mean 0.8: scipy.stats, convolved by the trapezoid rule."""
    edges = (np.array([edge]) for edge in (0.5, 1.5))
    beneath = np.linspace(0.5, 1.5, 20001)
    expected = float(np.trapezoid(stats.expon.pdf(value - beneath, scale=0.8), beneath))

    found = _added_density(np.array([value]), np.array([1e-6]), *edges, np.array([0.8]))

    assert float(found[0]) == pytest.approx(expected, abs=5e-5)


def test_what_a_film_adds_to_nothing_is_the_exponential() -> None:
    """Nothing of an element in the core: exponential about its mean, as scipy.stats.expon; and with an error
    small beside that mean scipy.stats.exponnorm says the same above three standard deviations."""
    value, sigma = np.array([0.4, 1.0, 3.0]), np.full(3, 0.1)

    found = _added_density(value, sigma, np.zeros(3), np.full(3, 1e-6), np.array([2.0]))

    assert found == pytest.approx(stats.expon.pdf(value, scale=2.0), rel=1e-3)
    assert found == pytest.approx(stats.exponnorm.pdf(value, 20.0, scale=0.1), rel=5e-3)


def test_after_a_grind_the_share_of_patches_is_a_density() -> None:
    """0.9 evenly up to the share before, 0.1 anywhere: the integral from 0 to 1 is 1."""
    share = np.linspace(0.0, 1.0, 20001)

    found = density_after_grind(share, np.full(share.shape, 0.4))

    assert float(np.trapezoid(found, share)) == pytest.approx(1.0, abs=1e-3)
    assert found[-1] == pytest.approx(0.1)


@pytest.mark.parametrize(("nats", "is_looked_at"), [(1.9, False), (2.1, True)])
def test_hand_and_reading_that_no_grade_fits_both(nats: float, is_looked_at: bool) -> None:
    """Two grades, one by the reading alone and one by hand alone: from 2 nats on worth a look."""
    library = load()
    by_reading, by_hand = np.full(len(library), -50.0), np.full(len(library), -50.0)
    by_reading[0], by_hand[0] = 0.0, -nats
    by_reading[1], by_hand[1] = -nats, 0.0
    evidence = SimpleNamespace(from_readings=by_reading, by_hand=by_hand, readings=())
    stage = SimpleNamespace(averaged=SimpleNamespace(values={"Fe": 70.0}))
    flat = np.full(len(library), 1.0 / len(library))

    found = is_worth_a_look(
        PieceFacts(), [cast(Stage, stage)], library, np.log(flat), cast(Evidence, evidence),
        Posterior(probability=flat, members=np.zeros(1), no_kind=0.0),
    )  # fmt: skip

    assert found is is_looked_at


def test_the_chance_that_some_shot_read_a_skin() -> None:
    """Coating 0.8 of all; its skin in the shots with 0.5 and 0.4: some 1 - 0.5 · 0.6 = 0.7, the last 0.4."""
    piece = CoatedPiece(
        name="zinc", rows=np.array([0]), log_joint=np.log([0.8]), skinned=np.array([[0.5], [0.4]]),
        shares=np.ones((2, 1)), added=np.zeros((1, 1)),
    )  # fmt: skip
    bare = Joint(listed=np.log([0.1, 0.1]), members=np.full(1, -1e6), no_kind=-1e6)

    found = _weigh([piece], bare)

    assert found.some_skin == pytest.approx([0.8 * 0.7])
    assert found.last_skin == pytest.approx(0.8 * 0.4)
    assert found.posterior.probability == pytest.approx([0.9, 0.1])


def test_what_a_film_adds_in_the_mean() -> None:
    """A film of a given share adds to an element by half of it: 8 % of a reading by 4 wt %."""
    films = _films(reading_of(60.0, 40.0), np.zeros(2), 0.0, Physics.BULK, ("Cu", "Zn"))

    assert films.share == pytest.approx(np.array([0.01, 0.03, 0.08, 0.2]))
    assert films.scale == pytest.approx(50.0 * films.share)
    assert films.value[2] == pytest.approx([60.0 / 0.92, 40.0 / 0.92])


def test_the_core_is_what_the_skin_leaves() -> None:
    """Of a reading 0.4 is zinc skin: core = (reading - what the skin adds) / 0.6, its errors over 0.6 too.

    Fe 57 + Cr 3 + Zn 40 with 40 of zinc added: 95 % iron and 5 % chromium.
    """
    piece = CoatedPiece(
        name="zinc", rows=np.array([0]), log_joint=np.zeros(1), skinned=np.ones((1, 1)),
        shares=np.array([[0.4]]), added=np.array([[0.0, 0.0, 40.0]]),
    )  # fmt: skip
    last = SimpleNamespace(
        shot=SimpleNamespace(value=np.array([57.0, 3.0, 40.0]), sigma=np.array([0.6, 0.06, 0.3])),
        sight=SimpleNamespace(elements=("Fe", "Cr", "Zn")),
        stage=SimpleNamespace(averaged=SimpleNamespace(profile=SimpleNamespace(key="xrf"))),
    )

    core = _core_reading(piece, np.ones(1), cast(StageView, last))

    assert core is not None
    assert dict(core.values) == pytest.approx({"Fe": 95.0, "Cr": 5.0})
    assert dict(core.sigma) == pytest.approx({"Fe": 1.0, "Cr": 0.1})


def test_what_a_film_swallows_of_light_lines_is_put_back() -> None:
    """The light lines count for more, the sum stays, and each element is as well known as before."""
    films = _films(reading_of(70.0, 30.0), np.zeros(2), 0.0, Physics.X_RAY, ("Al", "Cu"))
    as_read, put_back = films.value[0], films.value[4:]

    assert len(put_back) == 4
    assert put_back.sum(axis=1) == pytest.approx(films.value[[0, 1, 0, 1]].sum(axis=1))
    assert (put_back[:, 0] / put_back[:, 1] > as_read[0] / as_read[1]).all()
    assert films.sigma / films.value == pytest.approx(np.tile([0.1 / 70.0, 0.1 / 30.0], (8, 1)))
