"""Taking a coating out of a reading: shares and cores come out as they were mixed."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary, load
from grade_library.matcher.evidence import compiled_for
from grade_library.matcher.likelihood import term_log_density
from grade_library.matcher.matching import identify
from grade_library.matcher.prior import Prior
from grade_library.skin.attenuation import Film, Physics, physics_of, seen_by_x_ray
from grade_library.skin.coating_sight import CoatingSight
from grade_library.skin.coatings import coating_named
from grade_library.skin.density import Fit, coated_log_density
from grade_library.skin.finding import sight_for
from grade_library.skin.sight import Beneath, ShotView, Sight
from grade_library.skin.unmix import Before, _laid_out, unmix
from grade_library.technique import profiles


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    return load()


def sight_of(library: GradeLibrary, technique: str) -> Sight:
    compiled = compiled_for(library)
    return sight_for(library, compiled, profiles()[technique], compiled.shares(library, Prior.usual(library)))


def coating_of(sight: Sight, name: str) -> CoatingSight:
    return next(found for found in sight.coatings if found.coating.name == name)


def beneath(sight: Sight, *coatings: CoatingSight) -> Beneath:
    """Every grade that may carry each of them."""
    return Beneath(together=sight.together, coatings=coatings, at=[np.arange(len(c.rows)) for c in coatings])


def view(sight: Sight, values: dict[str, float], technique: str) -> ShotView:
    profile = profiles()[technique]
    elements = sight.elements
    return ShotView(
        value=np.array([values.get(symbol, np.nan) for symbol in elements]),
        sigma=np.array([profile.sigma(symbol, values.get(symbol, 0.0)) for symbol in elements]),
        below=np.full(len(elements), np.nan),
        gap=max(100.0 - sum(values.values()), 0.0),
        gap_sigma=0.5,
    )


def row_of(coating: CoatingSight, library: GradeLibrary, grade_id: str) -> int:
    return int(np.flatnonzero(coating.rows == library.index_of(grade_id))[0])


@pytest.mark.parametrize("share", [0.02, 0.1, 0.3, 0.6, 0.9])
def test_the_share_of_a_patchy_skin_comes_out(library: GradeLibrary, share: float) -> None:
    """Tin in patches on C26000 is found at the share at which it was mixed."""
    sight = sight_of(library, "libs")
    tin = coating_of(sight, "tin")
    values = {"Sn": 100.0 * share, "Cu": 70.0 * (1 - share), "Zn": 30.0 * (1 - share)}

    found = unmix(sight, beneath(sight, tin), view(sight, values, "libs"), Before(is_ground=False))

    row = row_of(tin, library, "C26000")
    assert found.total[row] == pytest.approx(share, abs=0.02)


@pytest.mark.parametrize("um", [2.0, 6.0, 12.0])
def test_the_share_of_an_even_film_comes_out_though_zinc_fades_more_than_copper(
    library: GradeLibrary, um: float
) -> None:
    """Nickel of a few micrometres on brass, read by x-rays, is explained by brass and not by copper."""
    sight = sight_of(library, "xrf")
    nickel = coating_of(sight, "nickel")
    film = Film(wt_pct={"Ni": 100.0}, density_g_cm3=8.9, thickness_um=np.array([um]))
    seen = seen_by_x_ray([film], {"Cu": 70.0, "Zn": 30.0})
    values = {symbol: float(x[0]) for symbol, x in seen.wt_pct.items()}

    found = unmix(sight, beneath(sight, nickel), view(sight, values, "xrf"), Before(is_ground=False))

    brass, copper = row_of(nickel, library, "C26000"), row_of(nickel, library, "C11000")
    assert found.shares[brass, 0] == pytest.approx(float(seen.skin_share[0]), abs=0.06)
    assert found.log_fit[brass] > found.log_fit[copper] + 3.0


def test_layers_share_a_reading(library: GradeLibrary) -> None:
    """Chromium, nickel and copper of a decorative plating are told apart."""
    sight = sight_of(library, "libs")
    chromium = coating_of(sight, "chromium over nickel")
    values = {"Cr": 10.0, "Ni": 50.0, "Fe": 39.6, "Mn": 0.3}

    found = unmix(sight, beneath(sight, chromium), view(sight, values, "libs"), Before(is_ground=False))

    shares = found.shares[row_of(chromium, library, "SAE 1018")]
    assert shares[0] == pytest.approx(0.10, abs=0.01)
    assert shares[1] == pytest.approx(0.50, abs=0.02)


def test_no_skin_costs_the_same_in_either_measure(library: GradeLibrary) -> None:
    """With no share the density beneath a coating is that of clean metal, less what the freedom costs."""
    sight = sight_of(library, "xrf")
    tin = coating_of(sight, "tin")
    shot = view(sight, {"Cu": 69.9, "Zn": 29.9, "Sn": 0.02, "Fe": 0.03}, "xrf")
    found = unmix(sight, beneath(sight, tin), shot, Before(is_ground=True))
    row = row_of(tin, library, "C26000")

    at = np.array([row])
    fit = Fit(shot=shot, coating=tin, at=at, unmixed=found.part(at))
    coated = coated_log_density(sight, [fit])[0][0] - found.log_room[row]

    seen = shot.of(np.arange(len(sight.elements)))
    clean = sight.melts.sums(term_log_density(sight.melts, seen), seen.is_told)
    assert coated == pytest.approx(clean[tin.rows[row]], abs=1.0)


def test_a_skin_of_usual_thickness_is_expected_by_x_ray(library: GradeLibrary) -> None:
    """Zinc plate of 5 to 25 µm takes 40 to 97 % of an x-ray reading, and nearly all of a laser's."""
    for technique, low, high in (("xrf", 0.35, 0.995), ("libs", 0.9, 1.0)):
        sight = sight_of(library, technique)
        zinc = np.array([coating_of(sight, "zinc").place])
        assert sight.together.chance_between(zinc, np.array([low]), np.array([high]))[0] > 0.6


def test_the_chance_of_a_share_is_that_of_its_table(library: GradeLibrary) -> None:
    """Between two places of the table the chance goes evenly in logits, as numpy.interp has it."""
    sight = sight_of(library, "libs")
    zinc = coating_of(sight, "zinc")
    shares = np.array([1e-5, 0.013, 0.2, 0.5, 0.77, 0.998, 1.0])
    none = np.zeros(len(shares))
    places = np.full(len(shares), zinc.place)

    found = sight.together.chance_between(places, none, shares)

    logits = np.clip(np.log(np.clip(shares, 1e-6, 1 - 1e-6) / (1 - np.clip(shares, 1e-6, 1 - 1e-6))), -14, 14)
    below = np.interp(logits, np.linspace(-9.0, 9.0, 37), zinc.share_below)
    assert found == pytest.approx(0.8 * (below - zinc.share_below[0]) + 0.2 * shares)


def test_what_a_technique_cannot_see_is_no_hypothesis(library: GradeLibrary) -> None:
    """Clear lacquer shows to a laser as carbon and to x-rays not at all; oxide to neither."""
    x_ray = {found.coating.name for found in sight_of(library, "xrf").coatings}
    laser = {found.coating.name for found in sight_of(library, "libs").coatings}
    assert "lacquer" in laser - x_ray
    assert "oxide" not in x_ray | laser
    assert physics_of(profiles()["lab"]) is Physics.BULK


def test_what_usually_carries_a_coating_leads_and_the_rest_stays_possible(library: GradeLibrary) -> None:
    """Hot-dip zinc is nearly always on steel and cast iron, now and then on something else, never on zinc."""
    zinc = coating_of(sight_of(library, "xrf"), "hot-dip zinc")
    weight = np.exp(zinc.log_weight)
    groups = np.array([library.grades[row].group for row in zinc.rows])
    usual = np.isin(groups, list(coating_named("hot-dip zinc").substrates))
    assert weight.sum() == pytest.approx(1.0, abs=0.01)
    assert 0.95 < weight[usual].sum() < 0.995
    assert "zinc" not in groups and "stainless" in groups


def test_an_anodic_film_is_only_ever_on_aluminium(library: GradeLibrary) -> None:
    """What grows out of one metal lies on no other."""
    anodising = coating_of(sight_of(library, "xrf"), "anodising")
    assert {library.grades[row].group for row in anodising.rows} == {"aluminium"}


def test_a_coating_lies_on_the_same_grades_for_every_technique(library: GradeLibrary) -> None:
    """Shots of several techniques on one piece are weighed grade by grade: the grades have to be the same."""
    by_laser = {found.coating.name: found for found in sight_of(library, "libs").coatings}
    for found in sight_of(library, "xrf").coatings:
        if found.coating.name in by_laser:
            assert np.array_equal(found.rows, by_laser[found.coating.name].rows), found.coating.name


ELEMENT = st.sampled_from(
    ["Fe", "Cr", "Ni", "Cu", "Zn", "Sn", "Pb", "Al", "Si", "Ti", "Ag", "Au", "Cd", "Ba", "S"]
)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.dictionaries(ELEMENT, st.floats(0.001, 100.0), min_size=1, max_size=6),
            st.sampled_from(["xrf", "libs", "lab"]),
            st.booleans(),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_any_series_of_readings_gets_a_sound_answer(series: list[tuple[dict[str, float], str, bool]]) -> None:
    """Whatever was shot, in any order and by any technique: shares and chances stay between 0 and 1."""
    shots = tuple(
        Shot(
            reading=Reading(
                # Rounding alone may carry a lone element a hair past 100.
                values={s: min(100.0, 100.0 * x / sum(values.values())) for s, x in values.items()},
                technique=technique,
            ),
            is_ground=is_ground,
        )
        for values, technique, is_ground in series
    )
    verdict = identify(PieceFacts(shots=shots), load())

    assert sum(verdict.share_by_id.values()) + verdict.unlisted == pytest.approx(1.0, abs=1e-6)
    if verdict.skin is not None:
        assert 0.0 <= verdict.skin.probability <= 1.0
        assert len(verdict.skin.shares) == len(shots)
        assert all(0.0 <= share <= 1.0 for share in verdict.skin.shares)


@pytest.mark.parametrize("technique", ["xrf", "libs"])
@pytest.mark.parametrize("is_ground", [False, True])
def test_coatings_fitted_together_come_out_as_each_alone(
    library: GradeLibrary, technique: str, is_ground: bool
) -> None:
    """Coatings of three, two and one layers on one reading: the shot before counts for each by itself."""
    sight = sight_of(library, technique)
    coatings = [coating_of(sight, name) for name in ("chromium over nickel", "tin", "zinc")]
    assert [len(coating.layers) for coating in coatings] == sorted(
        (len(c.layers) for c in coatings), reverse=True
    )
    shot = view(sight, {"Cu": 61.0, "Zn": 33.0, "Sn": 2.0, "Ni": 3.0, "Cr": 0.4}, technique)
    shares = [np.linspace(0.05, 0.9, len(coating.rows)) for coating in coatings]
    before = Before(is_ground=is_ground, total=np.concatenate(shares))

    together = unmix(sight, beneath(sight, *coatings), shot, before)

    ends = np.cumsum([0, *(len(share) for share in shares)])
    for coating, share, first, last in zip(coatings, shares, ends, ends[1:], strict=False):
        found = together.part(slice(first, last))
        alone = unmix(sight, beneath(sight, coating), shot, Before(is_ground=is_ground, total=share))
        assert found.shares == pytest.approx(alone.shares)
        assert np.array_equal(found.scale, alone.scale)
        assert found.log_fit == pytest.approx(alone.log_fit)
        assert found.log_room == pytest.approx(alone.log_room)


def test_the_fit_of_a_bare_reading_is_the_normal_density(library: GradeLibrary) -> None:
    """Where nothing of a skin is in a reading the fit is the normal density of each value, weights and all.

    Mean and variance of the core are the sight's; the noise, and what is not reported, are added to it in
    quadrature; a value within four standard deviations is normal. The share's prior is taken off again.
    """
    sight = sight_of(library, "lab")
    tin = coating_of(sight, "tin")
    row = row_of(tin, library, "304")
    values = {"Cr": 18.4, "Ni": 9.0, "Mn": 1.0}
    shot = view(sight, values, "lab")
    problem = _laid_out(sight, beneath(sight, tin), shot)

    found = unmix(sight, beneath(sight, tin), shot, Before(is_ground=False))

    spread = np.sqrt(problem.noise[:, 0, 0] + problem.core_variance[:, 0, row])
    density = norm.logpdf(problem.reading[:, 0, 0], problem.core[:, 0, row], spread)
    expected = float((problem.weight[:, 0, row] * density).sum())
    assert found.total[row] < 0.01
    assert found.log_fit[row] - found.log_room[row] == pytest.approx(expected, abs=0.1)
