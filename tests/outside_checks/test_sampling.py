"""Sampling plans, bounds and Wald's test against published rows and scipy.

Sources are named beside each check. What was not read at its origin is said to be from memory.
"""

import math
from collections import Counter

import pytest
from scipy import stats

from grade_library.lots.sampling import (
    binomial_acceptance,
    chance_of_acceptance,
    chance_of_passing,
    least_share,
    least_wrong,
    most_share,
    most_wrong,
    most_wrong_after,
    plan_for,
)
from grade_library.lots.sequential import SequentialVerdict, WaldTest


@pytest.mark.parametrize(("lot", "wrong"), [(8, 1), (20, 3), (50, 5), (137, 9), (500, 25), (3000, 60)])
@pytest.mark.parametrize("accept", [0, 1, 2])
def test_acceptance_is_the_hypergeometric_tail(lot: int, wrong: int, accept: int) -> None:
    """scipy.stats.hypergeom."""
    for sample in {1, 2, lot // 3, lot // 2, lot}:
        expected = float(stats.hypergeom.cdf(accept, lot, wrong, sample))
        assert chance_of_acceptance(lot, wrong, sample, accept) == pytest.approx(expected, abs=1e-10)


def test_binomial_acceptance_of_a_published_example() -> None:
    """Manual of the R package Planesmuestra (CRAN): n = 125, c = 2, p = 0.10 gives 0.000210835."""
    assert binomial_acceptance(0.10, 125, 2) == pytest.approx(0.000210835, abs=5e-10)


@pytest.mark.parametrize(
    ("share", "chance"), [(0.01, 0.998), (0.02, 0.980), (0.03, 0.930), (0.05, 0.739), (0.10, 0.223)]
)
def test_characteristic_of_plan_52_3(share: float, chance: float) -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2, plan (52, 3); figures from memory."""
    assert binomial_acceptance(share, 52, 3) == pytest.approx(chance, abs=1.1e-3)


@pytest.mark.parametrize(
    ("sample", "accept", "at_95", "at_10"),
    [
        (13, 0, 0.394, 16.2),
        (20, 0, 0.256, 10.9),
        (32, 0, 0.160, 6.94),
        (50, 1, 0.715, 7.56),
        (80, 2, 1.03, 6.52),
    ],
)
def test_characteristic_of_standard_plans(sample: int, accept: int, at_95: float, at_10: float) -> None:
    """Plans of ISO 2859-1 (n = 20 and 32 with 0/1, n = 80 with 2/3, as quoted in a PLOS data set and from
    memory).

    Per cent wrong at which 95 % and 10 % of lots pass; computed with the binomial distribution, as the
    standard's own charts are for small samples.
    """
    assert binomial_acceptance(at_95 / 100.0, sample, accept) == pytest.approx(0.95, abs=0.002)
    assert binomial_acceptance(at_10 / 100.0, sample, accept) == pytest.approx(0.10, abs=0.002)


def test_classical_figures_for_a_lot_without_end() -> None:
    """59 clean pieces for 5 %, 299 for 1 % at 95 % (classical figures, memory): ln 0.05 / ln(1 - p)."""
    assert binomial_acceptance(0.05, 59, 0) <= 0.05 < binomial_acceptance(0.05, 58, 0)
    assert binomial_acceptance(0.01, 299, 0) <= 0.05 < binomial_acceptance(0.01, 298, 0)
    assert most_share(0, 59, 0.95) == pytest.approx(1.0 - 0.05 ** (1.0 / 59.0), abs=1e-12)


@pytest.mark.parametrize("sample", [1, 5, 20, 50, 300])
def test_interval_is_scipys(sample: int) -> None:
    """The beta quantiles of scipy: the upper end of the exact interval."""
    for found in {0, 1, sample // 4, sample - 1, sample}:
        if 0 < found < sample:
            assert most_share(found, sample, 0.9) == pytest.approx(
                float(stats.beta.ppf(0.9, found + 1, sample - found)), abs=1e-9
            )
            assert least_share(found, sample, 0.9) == pytest.approx(
                float(stats.beta.ppf(0.1, found, sample - found + 1)), abs=1e-9
            )


@pytest.mark.parametrize(
    ("lot", "sample", "found"), [(40, 12, 0), (40, 12, 1), (100, 45, 0), (100, 30, 4), (9, 9, 2)]
)
def test_bounds_of_a_counted_lot(lot: int, sample: int, found: int) -> None:
    """The largest and the smallest number of wrong pieces that scipy's tails do not rule out at 95 %."""
    possible = range(found, lot - sample + found + 1)
    most = max(d for d in possible if stats.hypergeom.cdf(found, lot, d, sample) > 0.05 + 1e-12)
    least = min(d for d in possible if stats.hypergeom.sf(found - 1, lot, d, sample) > 0.05 + 1e-12)
    assert most_wrong(lot, sample, found, 0.95) == most
    assert least_wrong(lot, sample, found, 0.95) == least


@pytest.mark.parametrize(("lot", "accept"), [(30, 0), (30, 1), (100, 1), (100, 2), (400, 2)])
def test_a_stepped_plan_keeps_its_confidence(lot: int, accept: int) -> None:
    """The chance of passing, summed over scipy's hypergeometric draws from step to step, stays below the
    risk."""
    plan = plan_for(lot, 0.06, 0.95, accept)

    assert _passing(lot, plan.wrong, plan.steps) <= 0.05 + 1e-9
    assert _passing(lot, plan.wrong, plan.steps) == pytest.approx(
        chance_of_passing(plan, plan.wrong), abs=1e-9
    )
    for step in range(plan.accept + 1):
        most = most_wrong_after(plan, step)
        assert most < plan.wrong
        assert _passing(lot, most + 1, plan.steps[: step + 1]) <= 0.05 + 1e-9


def _passing(lot: int, wrong: int, steps: tuple[int, ...]) -> float:
    """Return the chance that a lot passes at one of the steps, by scipy."""
    running, passed, drawn = {0: 1.0}, 0.0, 0
    for step, end in enumerate(steps):
        after: dict[int, float] = {}
        for found, chance in running.items():
            for more in range(min(wrong - found, end - drawn) + 1):
                share = stats.hypergeom.pmf(more, lot - drawn, wrong - found, end - drawn)
                after[found + more] = after.get(found + more, 0.0) + chance * float(share)
        passed += sum(chance for found, chance in after.items() if found <= step)
        running = {found: chance for found, chance in after.items() if found > step}
        drawn = end
    return passed


def test_walds_lines() -> None:
    """NIST/SEMATECH e-Handbook 6.2.6 (parameters from memory): p1 .01, p2 .10, alpha .05, beta .10.

    k = ln[p2(1-p1)/(p1(1-p2))] = 2.3979, h1 = 0.9389, h2 = 1.2054, s = 0.03975; Wald, Sequential Analysis,
    1947, 5.3.
    """
    test = WaldTest(good_share=0.01, bad_share=0.10, alpha=0.05, beta=0.10)

    assert math.log(0.10 * 0.99 / (0.01 * 0.90)) == pytest.approx(2.3979, abs=5e-5)
    assert -test.accept_at == pytest.approx(0.9389, abs=5e-5)
    assert test.refuse_at == pytest.approx(1.2054, abs=5e-5)
    assert test.slope == pytest.approx(0.03975, abs=5e-6)


@pytest.mark.parametrize(
    ("checked", "found", "verdict"),
    [
        (23, 0, SequentialVerdict.GO_ON),
        (24, 0, SequentialVerdict.ACCEPT),
        (48, 1, SequentialVerdict.GO_ON),
        (49, 1, SequentialVerdict.ACCEPT),
        (19, 2, SequentialVerdict.REFUSE),
        (20, 2, SequentialVerdict.GO_ON),
        (20, 3, SequentialVerdict.REFUSE),
        (45, 3, SequentialVerdict.REFUSE),
        (46, 3, SequentialVerdict.GO_ON),
    ],
)
def test_walds_decisions(checked: int, found: int, verdict: SequentialVerdict) -> None:
    """The same example: first acceptance at 24 clean pieces, 49 with one wrong; two refuse up to 19, three
    to 45."""
    assert WaldTest(good_share=0.01, bad_share=0.10, alpha=0.05, beta=0.10).verdict(checked, found) is verdict


def test_walds_risks_hold() -> None:
    """Wald, 1947: the lines keep the risks about; exact sums over a test that ends late stay below them."""
    test = WaldTest(good_share=0.01, bad_share=0.10, alpha=0.05, beta=0.10, most=400)

    assert chances(test, 0.01)[SequentialVerdict.REFUSE] <= 0.05
    assert chances(test, 0.10)[SequentialVerdict.ACCEPT] <= 0.10
    assert chances(test, 0.01)[SequentialVerdict.UNDECIDED] < 1e-3


def chances(test: WaldTest, share: float) -> Counter[SequentialVerdict]:
    """Return how often the test ends so with lots of that share of wrong pieces, by exact sums."""
    running, ended = {0: 1.0}, Counter[SequentialVerdict]()
    for checked in range(1, (test.most or 0) + 1):
        after = Counter[int]()
        for found, chance in running.items():
            after[found] += chance * (1.0 - share)
            after[found + 1] += chance * share
        running = {}
        for found, chance in after.items():
            verdict = test.verdict(checked, found)
            if verdict is SequentialVerdict.GO_ON:
                running[found] = chance
            else:
                ended[verdict] += chance
    return ended
