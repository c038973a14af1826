"""Contents that cannot fall below nothing: the gamma distribution, whose sums stay of its kind."""

import math

_ROUNDS = 500
_ENOUGH = 1e-14
NORMAL_FROM = 1e4
"""From this shape on the gamma distribution is a normal one to three decimals."""


def chance_above(limit: float, mean: float, sigma: float) -> float:
    """Return the probability that a content of known mean and standard deviation lies above a limit.

    Args:
        limit: [wt %].
        mean: [wt %], >= 0.
        sigma: [wt %], >= 0.

    Valid: contents that are sums of many small ones, each exponential or not far from it; for sigma far below
        the mean it is the normal distribution.
    Source: a sum of exponential amounts is gamma distributed, with shape mean²/sigma² and scale sigma²/mean
        (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4 and 6.5, from memory).

    >>> round(chance_above(0.5, 0.25, 0.25), 4), round(chance_above(0.5, 0.5, 0.001), 1)
    (0.1353, 0.5)
    """
    if sigma <= 0.0 or mean <= 0.0:
        return 1.0 if mean > limit else 0.0
    if limit <= 0.0:
        return 1.0
    shape = (mean / sigma) ** 2
    if shape > NORMAL_FROM:
        return 0.5 * math.erfc((limit - mean) / (sigma * math.sqrt(2.0)))
    x = limit * mean / sigma**2
    return 1.0 - _lower_series(shape, x) if x < shape + 1.0 else _upper_fraction(shape, x)


def _lower_series(shape: float, x: float) -> float:
    """Return the part below x (6.5.29)."""
    term = total = 1.0 / shape
    for n in range(1, _ROUNDS):
        term *= x / (shape + n)
        total += term
        if term < total * _ENOUGH:
            break
    return min(1.0, total * math.exp(shape * math.log(x) - x - math.lgamma(shape)))


def _upper_fraction(shape: float, x: float) -> float:
    """Return the part above x, by its continued fraction (6.5.31) from the front."""
    b = x + 1.0 - shape
    c, d = 1e300, 1.0 / b
    found = d
    for n in range(1, _ROUNDS):
        a = n * (shape - n)
        b += 2.0
        d = 1.0 / (a * d + b or 1e-300)
        c = b + a / c or 1e-300
        found *= d * c
        if abs(d * c - 1.0) < _ENOUGH:
            break
    return min(1.0, found * math.exp(shape * math.log(x) - x - math.lgamma(shape)))
