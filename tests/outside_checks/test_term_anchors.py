"""Worked numbers for each term of the matcher, by hand and scipy.stats: a wrong constant or sign fails here.

The constants are written out as figures, never imported: a changed one has to be meant. They are fitted or
from memory (see beside each in the code); what is checked from outside is the arithmetic on them.
"""

import dataclasses
import math

import numpy as np
import pytest
from scipy.stats import norm

from grade_library.library import load
from grade_library.matcher.hypotheses import unlisted_before
from grade_library.matcher.likelihood import Observed, of_values, term_log_density
from grade_library.matcher.melt import Melts, spreads_of
from grade_library.matcher.prior import Prior
from grade_library.matcher.unlisted import broad_log_density

MAIN = {
    "low": 17.5,
    "mid": 18.5,
    "high": 19.5,
    "low_share": 0.57,
    "soft_low": 0.21,
    "soft_high": 0.234,
    "tail": 0.04,
}
TRACE = {
    "low": 0.0,
    "mid": 0.26,
    "high": 0.4,
    "low_share": 0.75,
    "soft_low": 0.0,
    "soft_high": 0.08,
    "tail": 0.05,
}


def melt(spread: dict[str, float], *, is_rest: bool = False, is_demanded: bool = False) -> Melts:
    """A single element of a single grade."""
    fields = {name: np.array([figure]) for name, figure in spread.items()}
    return Melts(
        elements=("X",), element_of=np.array([0]), index=np.array([[0]]),
        is_rest=np.array([is_rest]), is_demanded=np.array([is_demanded]), **fields,
    )  # fmt: skip


def seen(**figures: float) -> Observed:
    nothing = Observed(
        value=np.array([np.nan]), sigma=np.array([0.25]), below=np.array([np.nan]), gap=0.0,
        is_elsewhere=np.array([False]),
    )  # fmt: skip
    arrays = {
        name: np.array([figure]) for name, figure in figures.items() if name in ("value", "sigma", "below")
    }
    others = {name: figure for name, figure in figures.items() if name not in arrays}
    return dataclasses.replace(nothing, **arrays, **others)


def says(melts: Melts, **figures: float) -> float:
    return float(term_log_density(melts, seen(**figures))[0])


def steps(value: float, sigma: float) -> float:
    """Density of the two uniform steps of MAIN convolved with the normal error (definition)."""
    phi = [norm.cdf((edge - value) / sigma) for edge in (17.5, 18.5, 19.5)]
    return float(0.57 * (phi[1] - phi[0]) / 1.0 + 0.43 * (phi[2] - phi[1]) / 1.0)


def test_a_value_inside_a_range() -> None:
    """ln(0.96 D + 0.04 T): D the steps, T = 1 / (2 + both softnesses with half a sigma each)."""
    tail = 1.0 / (2.0 + (0.21 + 0.125) + (0.234 + 0.125))

    assert says(melt(MAIN), value=18.2, sigma=0.25) == pytest.approx(
        math.log(0.96 * steps(18.2, 0.25) + 0.04 * tail), abs=1e-7
    )


@pytest.mark.parametrize(("value", "reach"), [(20.7, 0.234 + 0.125), (16.1, 0.21 + 0.125)])
def test_a_main_element_outside_its_range(value: float, reach: float) -> None:
    """Beyond an edge T falls by e for each softness with half a sigma."""
    beyond = max(17.5 - value, value - 19.5)
    tail = math.exp(-beyond / reach) / (2.0 + 0.335 + 0.359)

    assert says(melt(MAIN), value=value, sigma=0.25) == pytest.approx(
        math.log(0.96 * steps(value, 0.25) + 0.04 * tail), abs=1e-6
    )


def test_a_trace_over_its_maximum() -> None:
    """T of a minor element falls by e for each softness with a whole sigma; its limit earns 0.4 ** 0.1."""
    phi = [norm.cdf((edge - 0.6) / 0.05) for edge in (0.0, 0.26, 0.4)]
    inside = 0.75 * (phi[1] - phi[0]) / 0.26 + 0.25 * (phi[2] - phi[1]) / 0.14
    tail = math.exp(-0.2 / 0.13) / (0.4 + 0.05 + 0.13)

    assert says(melt(TRACE), value=0.6, sigma=0.05) == pytest.approx(
        math.log(0.95 * inside + 0.05 * tail) + 0.1 * math.log(0.4), abs=1e-6
    )


def test_the_rest_is_half_a_witness() -> None:
    """What the other elements leave counts with a power of one half."""
    full = says(melt(MAIN), value=18.9, sigma=0.25)

    assert says(melt(MAIN, is_rest=True), value=18.9, sigma=0.25) == pytest.approx(0.5 * full)


def test_a_range_without_width_is_the_noise_alone() -> None:
    """A range of one point, widened to a hundredth of a sigma, has the density of the normal error there."""
    point = {**MAIN, "low": 2.0, "mid": 2.0, "high": 2.0, "low_share": 0.5, "tail": 0.0}

    found = of_values(melt(point), np.array([0]), np.array([2.6]), np.array([0.7]))

    assert float(found[0]) == pytest.approx(float(norm.logpdf(2.6, 2.0, 0.7)), abs=1e-4)


def test_not_found_below_a_limit() -> None:
    """Below 0.1 lie 0.75 * 0.1 / 0.26 of the melts; of a trace nobody asks for 0.6 of that counts."""
    chance = math.log(0.95 * 0.75 * 0.1 / 0.26 + 0.05)

    assert says(melt(TRACE), below=0.1) == pytest.approx(0.6 * chance)
    assert says(melt(TRACE, is_demanded=True), below=0.1) == pytest.approx(chance)


def test_not_found_where_a_range_demands_it() -> None:
    """Below 1.0 where 17.5 is the least: only strays, 0.04 exp(-16.5 / (0.21 + 0.5))."""
    assert says(melt(MAIN, is_demanded=True), below=1.0) == pytest.approx(math.log(0.04) - 16.5 / 0.71)


def test_not_found_in_the_upper_step() -> None:
    """Below 19.0: the lower step whole and half of the upper one."""
    assert says(melt(MAIN, is_demanded=True), below=19.0) == pytest.approx(
        math.log(0.96 * (0.57 + 0.43 * 0.5) + 0.04)
    )


def test_a_demanded_element_that_was_not_reported() -> None:
    """1 / (1 + (low / 0.6)^1.5) for a typed line, at least 0.004, less what the gap cannot hold."""
    lean = {**MAIN, "low": 0.9, "mid": 1.0, "high": 1.1}
    assert says(melt(lean, is_demanded=True), gap=5.0) == pytest.approx(-math.log(1.0 + 1.5**1.5))
    assert says(melt(MAIN, is_demanded=True), gap=14.0, gap_sigma=2.0) == pytest.approx(
        math.log(0.0063081) - 0.75, abs=1e-4
    )
    heavy = {**MAIN, "low": 60.0, "mid": 61.0, "high": 62.0}
    assert says(melt(heavy, is_demanded=True), gap=59.0) == pytest.approx(math.log(0.004))


def test_a_demanded_element_that_is_not_typed_yet() -> None:
    """Where more than 7 of 100 are missing and the gap has room for it, 12 more beside the 0.6 for one value;
    half of that half a sigma above the least."""
    assert says(melt(MAIN, is_demanded=True), gap=30.0) == pytest.approx(
        -math.log(1.0 + (17.5 / 12.6) ** 1.5)
    )
    assert says(melt(MAIN, is_demanded=True), gap=18.0) == pytest.approx(-math.log(1.0 + (17.5 / 6.6) ** 1.5))
    lean = {**MAIN, "low": 0.9, "mid": 1.0, "high": 1.1}
    assert says(melt(lean, is_demanded=True), gap=7.0) == pytest.approx(-math.log(1.0 + 1.5**1.5))
    assert says(melt(lean, is_demanded=True), gap=8.0) == pytest.approx(-math.log(1.0 + (0.9 / 12.6) ** 1.5))


def test_with_three_values_typed_an_element_is_left_out_less() -> None:
    """0.6 / (3 sqrt 3) for a whole reading and 12 exp(-1.6) for one that was begun."""
    melts = melt(MAIN, is_demanded=True)
    three = seen(value=np.nan, gap=30.0)
    others = np.array([np.nan, 40.0, 20.0, 10.0])
    three = dataclasses.replace(
        three, value=others, sigma=np.ones(4), below=np.full(4, np.nan), is_elsewhere=np.zeros(4, dtype=bool)
    )
    half = 0.6 / (3.0 * math.sqrt(3.0)) + 12.0 * math.exp(-1.6)

    assert float(term_log_density(melts, three)[0]) == pytest.approx(-math.log(1.0 + (17.5 / half) ** 1.5))


def test_an_unreported_rest_has_to_fit_into_the_gap() -> None:
    """A gap of 90 over a rest of at most 19.5: (90 - 19.5 - 3) / 20; one of 10 under 17.5: 6.5 sigmas."""
    assert says(melt(MAIN, is_rest=True), gap=90.0) == pytest.approx(-67.5 / 20.0)
    assert says(melt(MAIN, is_rest=True), gap=10.0) == pytest.approx(-6.5)
    assert says(melt(MAIN, is_rest=True), gap=18.0) == 0.0


def test_a_metal_of_no_kind_is_log_uniform() -> None:
    """1 / ((value + 0.02) ln(100 / 0.02)); its integral from 0 to 100 is 1 to a part in ten thousand."""
    found = broad_log_density(seen(value=5.0).value)

    assert float(found[0]) == pytest.approx(-math.log(5.02 * 8.517193), abs=1e-6)
    assert float(broad_log_density(seen().value)[0]) == 0.0


@dataclasses.dataclass(frozen=True)
class Counted:
    """As much of a reading as the chance of unlisted asks for."""

    n_reported: int


@pytest.mark.parametrize(("reported", "chance"), [(0, 0.015), (8, 0.27), (20, 0.27), (4, 0.0698103)])
def test_the_open_set_before_the_facts(reported: int, chance: float) -> None:
    """Odds 0.015/0.985 by hand, 0.27/0.73 from eight elements; at four sqrt of their product: 0.0750495."""
    evidence = type("Facts", (), {"readings": (Counted(reported),)})()

    assert unlisted_before(evidence) == pytest.approx(chance, rel=1e-5)


@pytest.mark.parametrize(("pieces", "usual"), [(50, 0.8), (200, 0.5), (800, 0.2), (20_000, 0.2)])
def test_the_own_counts_of_a_yard(pieces: int, usual: float) -> None:
    """The usual keep 200 / (200 + n), at least 0.2; of the own 0.7 go to the grade, 0.3 to its family."""
    library = load()
    ids = [grade.grade_id for grade in library.grades]
    before = dict(zip(ids, Prior.usual(library).shares(library), strict=True))
    after = dict(zip(ids, Prior.from_counts({"304": pieces}, library).shares(library), strict=True))
    family = next(grade.family for grade in library.grades if grade.grade_id == "304")
    whole = sum(before[grade.grade_id] for grade in library.grades if grade.family == family)

    of_family = 0.3 * before["304"] / whole
    assert after["304"] == pytest.approx(usual * before["304"] + (1.0 - usual) * (0.7 + of_family))
    assert after["316"] == pytest.approx(usual * before["316"] + (1.0 - usual) * 0.3 * before["316"] / whole)
    assert after["6061"] == pytest.approx(usual * before["6061"])


@pytest.mark.parametrize(
    ("grade_id", "symbol", "low", "mid", "high", "share", "soft_low", "soft_high", "tail"),
    [
        ("304", "Cr", 17.5, 18.5, 19.5, 0.57, 0.51, 0.535, 0.04),
        ("304", "Mn", 0.0, 1.3, 2.0, 0.75, 0.0, 0.161, 0.05),
        ("304", "Cu", 0.0, 0.22, 0.77, 0.66, 0.0, 0.33, 0.05),
        ("C36000", "Fe", 0.0, 0.2275, 0.35, 0.75, 0.0, 0.0785, 0.05),
        ("C36000", "Pb", 2.5, 2.75, 3.0, 0.5, 0.125, 0.151, 0.05),
        ("6061", "Zn", 0.0, 0.0625, 0.25, 0.5, 0.0, 0.0735, 0.05),
        ("6061", "Mg", 0.8, 1.0, 1.2, 0.57, 0.04, 0.061, 0.05),
    ],
)
def test_the_spread_of_melts_of_a_limit(
    grade_id: str, symbol: str, low: float, mid: float, high: float, share: float, soft_low: float,
    soft_high: float, tail: float,
) -> None:  # fmt: skip
    """Steps and softness of a range, a maximum and a residual.

    Range: the middle, 0.57 (lean) or 0.5. Maximum: 0.65 with 0.75, straying 0.25 with 0.5. Residual: 1 and
    3.5 scales. Softness: of a main element 0.3 and 0.012 of its edge, of a ranged one 0.05, of a maximum
    min(0.4 high, 0.06 + 0.05 high); 0.001 is added above.
    """
    library = load()
    spreads = spreads_of(library)
    row = [grade.grade_id for grade in library.grades].index(grade_id)
    column = library.elements.index(symbol)

    found = [
        float(getattr(spreads, name)[row, column])
        for name in ("low", "mid", "high", "low_share", "soft_low", "soft_high", "tail")
    ]

    assert found == pytest.approx([low, mid, high, share, soft_low, soft_high, tail], abs=1e-9)
