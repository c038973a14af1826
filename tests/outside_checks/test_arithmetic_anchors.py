"""Worked numbers for formulas around the matcher: blends, scaled readings, twins, claims, the magnet."""

import math
import tomllib
from importlib import resources

import numpy as np
import pytest
from scipy import stats
from uncertainties import ufloat

from grade_library.bench.magnet_odds import compile_magnet, magnet_odds
from grade_library.bench.magnetism import chance_pull_when_worked, ferrite_number, wrc_equivalents
from grade_library.facts import Claim, PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary, load
from grade_library.lots.blending import step_moments
from grade_library.matcher.claim import claim_log_likelihood
from grade_library.matcher.evidence import ShareById
from grade_library.matcher.hypotheses import CLEARLY_BETTER
from grade_library.matcher.matching import identify
from grade_library.matcher.melt import compile_melts, spreads_of
from grade_library.matcher.prior import Prior
from grade_library.matcher.twins import TWIN_OVERLAP, TwinFinder
from grade_library.matcher.unlisted import BROAD_SHARE, GROUP_SHARE
from grade_library.reading import _scaled_sigma
from grade_library.technique import profiles


def test_moments_of_two_steps() -> None:
    """Mean and deviation of 0.7 uniform(1, 2) + 0.3 uniform(2, 5): scipy.stats, law of total variance."""
    first, second = stats.uniform(1.0, 1.0), stats.uniform(2.0, 3.0)
    mean = 0.7 * first.mean() + 0.3 * second.mean()
    square = 0.7 * (first.var() + first.mean() ** 2) + 0.3 * (second.var() + second.mean() ** 2)

    found = step_moments(*(np.array([edge]) for edge in (1.0, 2.0, 5.0, 0.7)))

    assert [float(one[0]) for one in found] == pytest.approx([mean, (square - mean**2) ** 0.5])


def test_uncertainty_after_scaling_to_a_hundred() -> None:
    """100 x / (x + y + z) for 70, 20 and 10: propagated by the package uncertainties."""
    values, sigma = {"Fe": 70.0, "Cr": 20.0, "Ni": 10.0}, {"Fe": 1.5, "Cr": 0.3, "Ni": 0.2}
    parts = {symbol: ufloat(value, sigma[symbol]) for symbol, value in values.items()}
    whole = parts["Fe"] + parts["Cr"] + parts["Ni"]

    found = _scaled_sigma(values, sigma, 0.0)

    assert found == pytest.approx({symbol: (100.0 * one / whole).std_dev for symbol, one in parts.items()})


@pytest.mark.parametrize(
    ("md30", "chance"), [(-45.0, 0.5), (-20.0, 0.929299), (-70.0, 0.070701), (-28.0, 0.841345)]
)
def test_the_pull_of_worked_metal(md30: float, chance: float) -> None:
    """The normal distribution at (Md30 + 45) / 17: 25/17 gives 0.929, 1 gives 0.841 (tables of it)."""
    assert float(chance_pull_when_worked(np.array([md30]))[0]) == pytest.approx(chance, abs=1e-5)


def test_fitted_shares_are_the_fitted_ones() -> None:
    """The shares that were fitted on families left out are changed with a new fit only, and here with it."""
    assert (GROUP_SHARE, BROAD_SHARE, CLEARLY_BETTER) == (0.20, 0.15, 10.0)


def test_the_readings_of_two_grades_overlap_as_the_integral_says() -> None:
    """Bhattacharyya coefficient by its definition, the integral of sqrt(p q), element by element that either
    grade names.

    p and q are normal with the mean of the melts and a variance that holds the spread of the melts and the
    error of the technique, a + b times the content in quadrature (JCGM 100, 5.1.2).
    """
    library, profile = load(), profiles()["xrf"]
    spreads = spreads_of(library)
    one, other = library.index_of("304"), library.index_of("321")
    product = 1.0
    for column, symbol in enumerate(library.elements):
        if symbol in profile.unseen or spreads.is_residual[[one, other], column].all():
            continue
        model = profile.model(symbol)
        both = []
        for row in (one, other):
            mean = spreads.mean[row, column]
            error = np.hypot(model.a, model.b * mean)
            both.append(stats.norm(mean, np.hypot(np.sqrt(spreads.variance[row, column]), error)))
        low, high = (f(p.mean() + side * 12.0 * p.std() for p in both) for f, side in ((min, -1), (max, 1)))
        x = np.linspace(low, high, 4001)
        product *= float(np.trapezoid(np.sqrt(both[0].pdf(x) * both[1].pdf(x)), x))

    assert 0.0 < product < 0.9
    assert float(TwinFinder(library, profile).overlap(one)[other]) == pytest.approx(product, rel=1e-5)


def test_twins_are_told_apart_wrongly_one_time_in_twenty() -> None:
    """Normal, equal spread, d apart: B = exp(-d²/8), the wrong one is nearer with chance Φ(-d/2)."""
    apart = math.sqrt(-8.0 * math.log(0.25))

    assert TWIN_OVERLAP == 0.25
    assert stats.norm.cdf(-apart / 2.0) == pytest.approx(0.048, abs=5e-4)


def test_a_wrong_name_within_the_group() -> None:
    """A 6061 called 7075 by nothing that explains it: 0.02, times the part of 7075 in the usual aluminium."""
    library = load()
    usual = Prior.usual(library).shares(library)
    aluminium = [row for row, grade in enumerate(library.grades) if grade.group == "aluminium"]
    called = library.index_of("7075")
    part = usual[called] / sum(usual[row] for row in aluminium)
    claim = Claim(text="7075", grade_ids=frozenset({"7075"}), label="7075", is_exact=True)

    found = claim_log_likelihood(claim, library, usual)

    assert part > 0.01
    assert found[called] == pytest.approx(math.log(0.93))
    assert found[library.index_of("6061")] == pytest.approx(math.log(0.02 * part))


def test_the_pull_of_a_casting() -> None:
    """0.05 + 0.9 Φ((F - 2)/3), of those 0.02 + 0.9 Φ((F - 22)/8) strongly; F is the ferrite number."""
    library = load()
    values = {"Cr": 19.0, "Ni": 9.5, "Mo": 0.1, "C": 0.05, "N": 0.05, "Cu": 0.1, "Nb": 0.01}
    arrays = {symbol.lower(): np.array([value]) for symbol, value in values.items()}
    ferrite = float(ferrite_number(*wrc_equivalents(**arrays))[0])
    pulls = 0.05 + 0.9 * stats.norm.cdf((ferrite - 2.0) / 3.0)
    strongly = pulls * (0.02 + 0.9 * stats.norm.cdf((ferrite - 22.0) / 8.0))

    found = magnet_odds(compile_magnet(library), values)[library.index_of("CF8")]

    assert 0.1 < pulls < 0.9
    assert found == pytest.approx([1.0 - pulls, pulls - strongly, strongly], abs=1e-6)


def test_what_hides_from_a_technique_scales_the_rest() -> None:
    """5083 without its 4.0 to 4.9 % magnesium: 4.5 in steps of a half, so that all else is over 0.955."""
    library = load()
    melts = compile_melts(library, frozenset({"Mg"}), normalises=True)
    term = melts.index[library.index_of("5083"), melts.elements.index("Mn")]

    assert melts.low[term] == pytest.approx(0.4 / 0.955, abs=1e-6)
    assert melts.high[term] == pytest.approx(1.0 / 0.955, abs=1e-6)


def test_grades_above_a_probability() -> None:
    """Those at the least or above it, and no other."""
    shares = ShareById(("304", "316", "321"), np.array([0.6, 0.3, 0.1]))

    assert [shares.above(least) for least in (0.3, 0.3, 0.5)] == [
        {"304": 0.6, "316": 0.3},
        {"304": 0.6, "316": 0.3},
        {"304": 0.6},
    ]


def test_copper_with_beryllium_is_rarer_than_a_rare_one() -> None:
    """0.03 against 0.4, common ones apart; a trace of beryllium, at most 0.1 %, makes no beryllium copper."""
    library = load()
    table = tomllib.loads((resources.files("grade_library") / "data" / "usual.toml").read_text("utf-8"))
    usual = Prior.usual(library).shares(library)
    found = {
        (limit := grade.limits.get("Be")) is not None and limit.high > 0.1: usual[row]
        for row, grade in enumerate(library.grades)
        if grade.group == "copper" and grade.base == "Cu" and grade.grade_id not in table["common"]
    }

    assert found[True] / found[False] == pytest.approx(0.03 / 0.4)


def test_a_library_of_few_grades_is_judged_too() -> None:
    """Fewer grades than the 24 that are tried with an element exchanged."""
    whole = load()
    few = GradeLibrary([whole.grade(one) for one in ("304", "316", "321", "430")], whole.sources)
    shot = Shot(reading=Reading(values={"Fe": 70.5, "Cr": 18.2, "Ni": 8.1, "Mn": 1.5}, technique="xrf"))

    best = identify(PieceFacts(shots=(shot,)), few).best

    assert best is not None and best.grade.grade_id == "304"
