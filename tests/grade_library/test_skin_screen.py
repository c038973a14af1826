"""The quick look at all grades beneath a coating leaves those that the full fit would choose."""

import numpy as np
import pytest

from grade_library.library import GradeLibrary, load
from grade_library.matcher.evidence import compiled_for
from grade_library.matcher.prior import Prior
from grade_library.normal import FloatArray
from grade_library.reading import observed
from grade_library.skin.coatings import all_coatings
from grade_library.skin.finding import sight_for
from grade_library.skin.hypotheses import N_WELL
from grade_library.skin.screen import screen_of, screened
from grade_library.skin.series import stages_of
from grade_library.skin.sight import CoatingSight, Sight
from grade_library.skin.unmix import Before, ShotView, unmix
from grade_library.technique import profiles
from tests.benchmarks.plated import series, substrates_of

PLATINGS = ("nickel", "tin", "chromium over nickel", "hot-dip zinc", "copper flash", "zinc-nickel")
SHOWS_THROUGH = 0.95
"""Share of the skin below which the reading tells something of the core."""


@pytest.fixture(scope="module")
def library() -> GradeLibrary:
    """The whole library."""
    return load()


def laid_out(library: GradeLibrary, technique: str, coating: str, seed: int) -> tuple[Sight, ShotView]:
    """Return one simulated reading of a usual substrate beneath a coating."""
    rng = np.random.default_rng(seed)
    profile = profiles()[technique]
    found = next(one for one in all_coatings() if one.name == coating)
    core = substrates_of(found, library, 1, rng)[0]
    shots = series(found, core, profile, library, 1, rng).shots
    compiled = compiled_for(library)
    sight = sight_for(library, compiled, profile, compiled.shares(library, Prior.usual(library)))
    seen = observed(stages_of(shots, profiles())[0].averaged, sight.elements)
    return sight, ShotView(value=seen.value, sigma=seen.sigma, below=seen.below, gap=seen.gap)


def of(sight: Sight, coating: str) -> CoatingSight:
    """Return the coating as the technique sees it."""
    return next(one for one in sight.coatings if one.coating.name == coating)


@pytest.mark.parametrize("technique", ["xrf", "libs"])
def test_the_grades_that_fit_best_are_among_those_kept(library: GradeLibrary, technique: str) -> None:
    """Where the core shows at all, as many good grades pass as could, nearly: the best N hold as much."""
    passed = []
    for coating in PLATINGS:
        for seed in range(8):
            sight, shot = laid_out(library, technique, coating, seed)
            seen = of(sight, coating)
            (fit,) = unmix(sight, [seen], shot, Before(is_ground=False))
            full = fit.log_fit + seen.log_weight
            quick = screened(screen_of(sight, shot), seen) + seen.log_weight
            if fit.total[int(full.argmax())] < SHOWS_THROUGH:
                passed.append(_held(full, quick) / _held(full, full))
    assert len(passed) >= 8
    assert np.mean(passed) > 0.95
    assert min(passed) > 0.6


def _held(full: FloatArray, ranked_by: FloatArray) -> float:
    """Return the share of the full fit's weight on the grades that lead by a ranking."""
    weight = np.exp(full - full.max())
    return float(weight[np.argsort(-ranked_by)[:N_WELL]].sum() / weight.sum())


def test_a_reading_without_the_coating_has_no_grade_beneath_it(library: GradeLibrary) -> None:
    """Where the best share of the skin is nothing, the screen says that there is none."""
    sight, _ = laid_out(library, "xrf", "nickel", 0)
    values = np.full(len(sight.elements), np.nan)
    for symbol, content in (("Al", 97.9), ("Mg", 1.0), ("Si", 0.6), ("Fe", 0.5)):
        values[sight.elements.index(symbol)] = content
    shot = ShotView(
        value=values, sigma=np.full_like(values, 0.1), below=np.full_like(values, np.nan), gap=0.0
    )
    seen = of(sight, "tin")
    row = int(np.flatnonzero([library.grades[i].grade_id == "6061" for i in seen.rows])[0])
    assert screened(screen_of(sight, shot), seen)[row] == -np.inf
