"""Whether a measured value meets a limit, given its uncertainty."""

import math

import numpy as np

from grade_library.errors import ObservationError
from grade_library.normal import normal_cdf


def chance_inside(value: float, sigma: float, low: float | None, high: float | None) -> float:
    """Return the probability that the true value lies within the limits, 0..1.

    Args:
        value: Measured value.
        sigma: Its standard uncertainty in the same unit, > 0.
        low: Lower limit; None for none.
        high: Upper limit; None for none.

    Raises:
        ObservationError: The uncertainty is not above 0.

    Valid: normal uncertainty, and no knowledge of the value but the measurement.
    Source: JCGM 106:2012, 7.3 and 7.4.

    >>> round(chance_inside(16.2, 0.15, 16.0, None), 3)
    0.909
    """
    if not (math.isfinite(sigma) and sigma > 0.0):
        raise ObservationError(f"uncertainty {sigma:g}: needs a number above 0")
    edges = np.array([-math.inf if low is None else low, math.inf if high is None else high])
    below = normal_cdf(np.clip((edges - value) / sigma, -40.0, 40.0))
    return float(below[1] - below[0])
