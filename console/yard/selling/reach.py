"""How far a content may reach, at a confidence: skewed, as the contents of melts are."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from console.yard.chemistry.headroom import coverage
from console.yard.selling.sale import NOTHING, PlanError, Source
from grade_library.lots.blending import Blend
from grade_library.normal import FloatArray

NO_EXTRA = "Planning a sale needs a package more: pip install 'baywright[plan]'."
HALF_PCT = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A weighted sum of contents [wt %]."""

    expected: float
    low: float
    """It is not below this, at the confidence asked for."""
    high: float


def reach(source: Source, weights: Mapping[str, float], confidence: float) -> Reach:
    """Return how far a sum of contents of a source may reach, its elements as if they erred together.

    This is `c + k u` with k of the content's own distribution, or of the normal one where that is more: what
    is skewed reaches further than the normal at high confidence, less far at low. Of a load it may be summed
    up by weight, as if all its sources erred together.

    Args:
        source: A bale or a bay.
        weights: Symbol -> its weight in the sum; a negative one is taken at its other end.
        confidence: One-sided, 0.5 to below 1.

    Raises:
        PlanError: scipy is not there.
    """
    expected = low = high = 0.0
    at, k = np.array([1.0 - confidence, confidence]), coverage(confidence)
    for symbol, weight in weights.items():
        content = source.contents.get(symbol, NOTHING)
        least, most = quantiles(content, at).tolist()
        doubt = k * content.sigma
        ends = sorted(
            (weight * min(least, content.wt_pct - doubt), weight * max(most, content.wt_pct + doubt))
        )
        expected, low, high = expected + weight * content.wt_pct, low + ends[0], high + ends[1]
    return Reach(expected=expected, low=low, high=high)


def quantiles(content: Blend, at: FloatArray) -> FloatArray:
    """Return the contents below which such shares of melts lie [wt %], shape of `at`.

    What is less, the element or all the rest, is gamma distributed with the mean and the standard uncertainty
    that are known: most melts hold little, few hold much. It is the distribution of bay chemistry.

    Args:
        content: Mean and standard uncertainty.
        at: Shares, 0..1.

    Raises:
        PlanError: scipy is not there.
    """
    try:
        from scipy.special import gammaincinv
    except ImportError:
        raise PlanError(NO_EXTRA) from None
    is_most = content.wt_pct > HALF_PCT
    mean = 100.0 - content.wt_pct if is_most else content.wt_pct
    if content.sigma <= 0.0 or mean <= 0.0:
        return np.full_like(at, content.wt_pct)
    shape = (mean / content.sigma) ** 2
    drawn = gammaincinv(shape, 1.0 - at if is_most else at) * mean / shape
    return np.asarray(100.0 - drawn if is_most else drawn, dtype=np.float64)
