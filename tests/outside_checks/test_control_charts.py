"""Control-chart limits and rules against published worked examples and run lengths.

Sources are named beside each check. Where figures were not read at their origin, that is said.
"""

from statistics import NormalDist

import numpy as np
import pytest
from scipy.sparse import csr_array, identity
from scipy.sparse.linalg import bicgstab

from console.yard.coupons.control_rules import Rule, individuals_chart, signals

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 "Individuals Control Charts": flow rates.
FLOW_RATES = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)

# Montgomery, Introduction to Statistical Quality Control, piston-ring example: inside diameters [mm] of the
# monitored samples 26 to 40, five rings each. Data, centre and mean range quoted from memory, not read again.
PISTON_RINGS = {
    26: (74.012, 74.015, 74.030, 73.986, 74.000),
    27: (73.995, 74.010, 73.990, 74.015, 74.001),
    28: (73.987, 73.999, 73.985, 74.000, 73.990),
    29: (74.008, 74.010, 74.003, 73.991, 74.006),
    30: (74.003, 74.000, 74.001, 73.986, 73.997),
    31: (73.994, 74.003, 74.015, 74.020, 74.004),
    32: (74.008, 74.002, 74.018, 73.995, 74.005),
    33: (74.001, 74.004, 73.990, 73.996, 73.998),
    34: (74.015, 74.000, 74.016, 74.025, 74.000),
    35: (74.030, 74.005, 74.000, 74.016, 74.012),
    36: (74.001, 73.990, 73.995, 74.010, 74.024),
    37: (74.015, 74.020, 74.024, 74.005, 74.019),
    38: (74.035, 74.010, 74.012, 74.015, 74.026),
    39: (74.017, 74.013, 74.036, 74.025, 74.026),
    40: (74.010, 74.005, 74.029, 74.000, 74.020),
}
RING_CENTRE, RING_MEAN_RANGE, A2_OF_FIVE = 74.001, 0.023, 0.577


def test_individuals_chart_of_the_flow_rates() -> None:
    """Mean 50.81, mean moving range 1.8778, limits 55.8041 and 45.8159; nothing is out of control."""
    chart = individuals_chart(FLOW_RATES)

    assert chart.mean == pytest.approx(50.81)
    assert chart.mean_moving_range == pytest.approx(1.8778, abs=5e-5)
    assert chart.upper == pytest.approx(55.8041, abs=5e-5)
    assert chart.lower == pytest.approx(45.8159, abs=5e-5)
    z = [(value - chart.mean) / chart.sigma for value in FLOW_RATES]
    assert not any(signals(z[: end + 1]) for end in range(len(z)))


def test_rules_on_the_piston_rings() -> None:
    """Samples 37, 38 and 39 lie beyond the limits, as published; the pair 34 and 35 warns before them.

    The run above the centre begins with 34 and counts seven up to 40, so that the rule of eight is silent.
    """
    sigma = A2_OF_FIVE * RING_MEAN_RANGE / 3
    z = [(sum(rings) / 5 - RING_CENTRE) / sigma for rings in PISTON_RINGS.values()]

    broken = {number: signals(z[: end + 1]) for end, number in enumerate(PISTON_RINGS)}

    assert [number for number, rules in broken.items() if Rule.BEYOND_THREE in rules] == [37, 38, 39]
    assert next(number for number, rules in broken.items() if rules) == 35
    assert broken[35] == (Rule.TWO_OF_THREE,)
    assert not any(Rule.EIGHT_RUNNING in rules for rules in broken.values())


def average_run_length(rules: frozenset[Rule]) -> float:
    """Return the mean number of points until one of the rules speaks on a process in control, exactly.

    The points are independent and normal. Only their zones count for the rules, and only the seven before
    a point, so the waiting time is that of a finite Markov chain over the histories without an alarm.
    """
    above_two, above_three = 1 - NormalDist().cdf(2.0), 1 - NormalDist().cdf(3.0)
    near, far = 0.5 - above_two, above_two - above_three
    zones = {0.5: near, 2.5: far, 3.5: above_three, -0.5: near, -2.5: far, -3.5: above_three}
    number: dict[tuple[float, ...], int] = {(): 0}
    histories, steps = [()], []
    for history in histories:
        for zone, probability in zones.items():
            if rules & set(signals([*history, zone])):
                continue
            after = (*history, zone)[-7:]
            if after not in number:
                number[after] = len(histories)
                histories.append(after)
            steps.append((number[history], number[after], probability))
    rows, columns, weights = zip(*steps, strict=True)
    chain = csr_array((weights, (rows, columns)), shape=(len(histories), len(histories)))
    waits, failed = bicgstab(identity(len(histories)) - chain, np.ones(len(histories)), rtol=1e-12)
    assert not failed
    return float(waits[0])


@pytest.mark.parametrize(
    ("rules", "published"),
    [
        ({Rule.BEYOND_THREE}, 370.40),
        ({Rule.BEYOND_THREE, Rule.TWO_OF_THREE}, 225.44),
        ({Rule.BEYOND_THREE, Rule.EIGHT_RUNNING}, 152.73),
        ({Rule.BEYOND_THREE, Rule.TWO_OF_THREE, Rule.EIGHT_RUNNING}, 122.05),
    ],
)
def test_points_until_a_false_alarm(rules: set[Rule], published: float) -> None:
    """Champ and Woodall, Technometrics 29 (1987) 393, table 1, no shift: figures quoted from memory."""
    assert average_run_length(frozenset(rules)) == pytest.approx(published, abs=0.005)
