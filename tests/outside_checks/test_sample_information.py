"""The value of a check before it is made, against worked examples of decision analysis."""

import numpy as np
import pytest

from grade_library.lots.information import findings
from grade_library.normal import FloatArray

# The oil wildcatter: Raiffa, Decision Analysis, 1968 (priors from memory). Chances of the seismic findings
# as printed in the SAS/OR documentation, table 7.2: no structure, open, closed, given dry, wet, soaking.
WELLS = np.array([0.5, 0.3, 0.2])
SEISMIC = np.array([[0.6, 0.3, 0.1], [0.3, 0.4, 0.4], [0.1, 0.3, 0.5]])
# Drilling costs 70; rewards 0, 120, 270 (project page of a decision-network tool): -70, 50, 200, or 0
# without a well.
PAYOFF = np.array([[-70.0, 50.0, 200.0], [0.0, 0.0, 0.0]])


def worth_of_test(prior: FloatArray, likelihood: FloatArray, payoff: FloatArray) -> float:
    """Return what the best act is worth after the findings, above what it is worth without them."""
    found = findings(prior, likelihood)
    return float(found.chance @ (found.after @ payoff.T).max(axis=1) - (payoff @ prior).max())


def test_the_wildcatter_drills_for_20() -> None:
    """Without a test the best act is worth 20."""
    assert float((PAYOFF @ WELLS).max()) == pytest.approx(20.0)


def test_the_wildcatters_findings() -> None:
    """P(finding) .41, .35, .24 and worth of drilling -30.49, 32.86, 87.5 after each."""
    found = findings(WELLS, SEISMIC)

    assert found.chance == pytest.approx([0.41, 0.35, 0.24])
    assert found.after @ PAYOFF[0] == pytest.approx([-30.49, 32.86, 87.5], abs=0.005)


def test_the_wildcatters_seismic_test_is_worth_12_50() -> None:
    """Expected value of sample information 12.5; with the test's cost of 10 it gains 2.5."""
    assert worth_of_test(WELLS, SEISMIC, PAYOFF) == pytest.approx(12.5)


def test_filing_a_spot_before_calling_it_316() -> None:
    """Derived by hand: P(316) = .7, right +1.00/kg, wrong -3.00/kg, test right in 95 %: 0.62/kg."""
    right = np.array([[0.95, 0.05], [0.05, 0.95]])
    call = np.array([[1.0, -3.0], [0.0, 0.0]])

    assert worth_of_test(np.array([0.7, 0.3]), right, call) == pytest.approx(0.62, abs=0.005)
