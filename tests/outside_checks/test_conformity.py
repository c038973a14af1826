"""Conformity with a limit, against the worked examples of JCGM 106:2012."""

import pytest
from scipy import integrate, stats

from grade_library.errors import ObservationError
from grade_library.lots.conformity import chance_inside


def test_one_sided_examples_of_jcgm_106() -> None:
    """Clause 7.3.3: a breakdown voltage below an upper limit, a pressure above a lower one (data recalled
    from memory)."""
    assert chance_inside(-5.47, 0.05, None, -5.40) == pytest.approx(0.92, abs=0.005)
    assert chance_inside(509.7, 8.6, 490.0, None) == pytest.approx(0.99, abs=0.005)


def test_resistor_example_of_jcgm_106() -> None:
    """Resistors of 1500 ± 0.12 Ω, tolerance ± 0.20, u = 0.04, accepted within ± 0.18: R_C = 0.0099, R_P =
    0.069.

    Parameters from an open implementation of the standard's global-risk example.
    """
    process = stats.norm(1500.0, 0.12)

    def accepted(true: float) -> float:
        return chance_inside(true, 0.04, 1499.82, 1500.18)

    def bad_accepted(true: float) -> float:
        return float(process.pdf(true)) * accepted(true)

    def good_refused(true: float) -> float:
        return float(process.pdf(true)) * (1.0 - accepted(true))

    consumer = sum(integrate.quad(bad_accepted, a, b)[0] for a, b in ((1499.0, 1499.8), (1500.2, 1501.0)))
    producer = integrate.quad(good_refused, 1499.8, 1500.2)[0]

    assert chance_inside(1500.0, 0.12, 1499.8, 1500.2) == pytest.approx(0.904, abs=0.001)
    assert consumer == pytest.approx(0.0099, abs=0.0001)
    assert producer == pytest.approx(0.069, abs=0.001)


def test_a_guard_band_of_the_expanded_uncertainty_leaves_two_in_a_hundred() -> None:
    """JCGM 106, 8.3.2: a value at the acceptance limit A = T − U, U = 2u, conforms with at least 97.7 %."""
    assert chance_inside(0.40 - 2 * 0.03, 0.03, None, 0.40) == pytest.approx(0.977, abs=0.001)


def test_an_uncertainty_of_zero_is_refused() -> None:
    """A measurement without uncertainty is no measurement."""
    with pytest.raises(ObservationError, match="above 0"):
        chance_inside(1.0, 0.0, None, 2.0)
