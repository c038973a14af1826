"""What settled loads teach of the bays that their metal came from: normal data, a normal bias.

Source: conjugate normal model with known variance, A. Gelman et al., Bayesian Data Analysis, 3rd ed., 2013,
section 2.5, and its regression form, section 14.8 (numbers from memory). With one bay to a load it is
mean = (y/s²)/(1/t² + 1/s²), variance = 1/(1/t² + 1/s²): y found less estimated, s its own uncertainty, t that
of the bias before.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

import numpy as np

from console.yard.loads.settling import Difference, Settled, shares_of
from console.yard.loads.shift import Shift

LEAST_SIGMA = 1e-6
"""A bias of which so little is unknown is known [wt %]: nothing can be learned of it."""
LEAST_FACTOR, MOST_FACTOR = 0.25, 4.0
"""Residuals are never taken for less or more than so many times the usual ones: a few loads are no alloy book
(own choice)."""


def shifts_of(settled: Iterable[Settled]) -> list[Shift]:
    """Return the bias of every bay and element that settled loads tell of, by bay and element.

    The bias of a bay is expected to be none, as unsure as what its loads had in common: the analyser's bias,
    and how melts of one grade differ from the book. A load of several bays teaches of each by its share, all
    at once, since nobody knows whose metal was off. That an analyser's bias is the same in every bay is left
    out.
    """
    by_symbol: dict[str, list[tuple[Settled, Difference]]] = {}
    for one in settled:
        for difference in one.differences:
            by_symbol.setdefault(difference.symbol, []).append((one, difference))
    found = [shift for symbol, known in by_symbol.items() for shift in _of_symbol(symbol, known)]
    return sorted(found, key=lambda shift: (shift.bay, shift.symbol))


def _of_symbol(symbol: str, known: Sequence[tuple[Settled, Difference]]) -> Iterator[Shift]:
    shares = [dict(shares_of(one.sheet)) for one, _ in known]
    bays = list(dict.fromkeys(bay for of in shares for bay in of))
    part = np.array([[of.get(bay, 0.0) for bay in bays] for of in shares])
    weight = part / part.sum(axis=0)
    value = np.array([difference.value for _, difference in known])
    own = np.array([max(LEAST_SIGMA, difference.own) for _, difference in known])
    before = np.array([difference.common for _, difference in known]) @ weight
    # With t = 0 nothing can be learned; such a bay is left out of the answer below.
    prior = np.maximum(before, LEAST_SIGMA)
    covariance = np.linalg.inv(np.diag(prior**-2) + part.T @ (part / own[:, None] ** 2))
    mean = covariance @ part.T @ (value / own**2)
    estimated = np.array([difference.estimated for _, difference in known]) @ weight
    unread = np.array([one.sheet.unread.get(symbol, 0.0) for one, _ in known]) @ weight
    for at, bay in enumerate(bays):
        if before[at] > LEAST_SIGMA:
            yield Shift(
                bay=bay,
                symbol=symbol,
                loads=int((part[:, at] > 0.0).sum()),
                found=float(value @ weight[:, at]),
                before=float(before[at]),
                mean=float(mean[at]),
                sigma=float(np.sqrt(covariance[at, at])),
                estimated=float(estimated[at]),
                unread=float(unread[at]),
            )


def residual_factors(
    shifts: Iterable[Shift], grades_by_bay: Mapping[str, frozenset[str]]
) -> Mapping[tuple[str, str], float]:
    """Return grade and element -> how many times its usual residual the grade's melts hold here.

    Only as far as nobody read the element: what a reading is off by is the analyser's, not the melt's. A
    grade that several bays take is as their mean.

    Args:
        shifts: What was learned.
        grades_by_bay: Code of a bay -> the grades that it takes.
    """
    found: dict[tuple[str, str], list[float]] = {}
    for shift in shifts:
        factor = 1.0
        if shift.estimated > 0.0:
            factor = (shift.estimated + shift.unread * shift.mean) / shift.estimated
        for grade_id in grades_by_bay.get(shift.bay, ()):
            clipped = min(MOST_FACTOR, max(LEAST_FACTOR, factor))
            found.setdefault((grade_id, shift.symbol), []).append(clipped)
    factors = {key: sum(of) / len(of) for key, of in found.items()}
    return MappingProxyType({key: factor for key, factor in factors.items() if factor != 1.0})
