"""How likely one reading is for the melts of every grade, all grades at once."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.matcher.melt import Melts
from grade_library.normal import FloatArray, normal_cdf

NARROW_SIGMAS = 0.01
"""A range narrower than this, in standard uncertainties, is widened to it before it is divided by."""
FAR_SIGMAS = 10.0
"""A value this far beyond the edges of a spread is judged by the tail alone."""
GREATEST_TAIL = 400.0
"""Logarithms end here, so that products of absurd readings stay finite [nats]."""
HALF_TYPED_WT_PCT = 0.6
"""A demanded element of this content is left out half the time where a single element was typed; the more
elements were reported, the less is left out, since a certificate prints what its grade asks for: this divided
by their number, and by the root of that of those found (memory)."""
BEGUN_GAP_WT_PCT = 7.0
"""More than this is missing from 100 where a reading was only begun: what dirt, light elements and a poor sum
take is less (memory) ..."""
BEGUN_WT_PCT, BEGUN_FALL = 12.0, 0.8
"""... and an element that the gap has room for is left out half the time at this content when one value was
typed, at less by a factor exp(-0.8) for each further one. Fitted on the half of the real metals that is tuned
on, of which the first elements alone were given (tests/benchmarks/begun.py): by the log score of the right
grade 12 for one value, 6 for two, 2 for three, 0.8 for four."""
LEAST_OMITTED = 0.004
"""Even a main element is left out now and then."""
TRACE_WEIGHT = 0.6
"""How much a "not found" counts where the grade does not ask for the element: clean melts are clean in all
of them."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Observed:
    """One reading laid out over the columns of a `Melts`; all of shape (n_elements,)."""

    value: FloatArray
    """Mass fraction [wt %]; NaN where none is reported."""
    sigma: FloatArray
    """Standard uncertainty [wt %], > 0 wherever a value is."""
    below: FloatArray
    """Detection limit [wt %] of an element looked for and not found; NaN elsewhere."""
    gap: float | FloatArray
    """What the reported elements leave of 100 [wt %], >= 0; for each column where they are of several
    readings."""
    is_elsewhere: NDArray[np.bool_]
    """Judged in another reading of the piece: adds nothing here."""
    gap_sigma: float | FloatArray = 1.0
    """Standard uncertainty of the gap [wt %], likewise."""

    @property
    def is_told(self) -> NDArray[np.bool_]:
        """Whether each element was reported, found or not found."""
        return ~(np.isnan(self.value) & np.isnan(self.below))


def spread_density(
    value: FloatArray,
    sigma: FloatArray,
    low: FloatArray,
    mid: FloatArray,
    high: FloatArray,
    low_share: FloatArray,
) -> FloatArray:
    """Return the density of a reading [1/wt %]: two uniform steps convolved with the normal error.

    Args:
        value: Reading [wt %].
        sigma: Its standard uncertainty [wt %], > 0.
        low, mid, high: Edges of the steps [wt %], low < mid < high.
        low_share: Share of the melts in the lower step, 0..1.

    Source: (Φ((hi−r)/σ) − Φ((lo−r)/σ))/(hi−lo) for each step, from the definition of the convolution.

    >>> one = np.array([1.0])
    >>> round(float(spread_density(18 * one, 0.2 * one, 17.5 * one, 18.5 * one, 19.5 * one, 0.5 * one)[0]), 3)
    0.497
    """
    edges = np.empty((3, *value.shape))
    edges[0], edges[1], edges[2] = low, mid, high
    edges -= value
    edges /= sigma
    phi = normal_cdf(edges)
    steps = low_share * (phi[1] - phi[0]) / (mid - low)
    steps += (1.0 - low_share) * (phi[2] - phi[1]) / (high - mid)
    return np.asarray(steps)


def term_log_density(melts: Melts, observed: Observed) -> FloatArray:
    """Return what the reading adds for each term [nats], shape (n_terms,).

    A value adds the logarithm of its density [1/wt %], "below detection" that of its chance, an element that
    was not reported next to nothing unless the grade asks for it.
    """
    out = np.zeros(melts.low.shape)
    column = melts.element_of
    has_value = ~np.isnan(observed.value)[column]
    at = np.flatnonzero(has_value)
    if at.size:
        at_column = column[at]
        out[at] = of_values(melts, at, observed.value[at_column], observed.sigma[at_column])
    is_below = ~np.isnan(observed.below)[column]
    at = np.flatnonzero(is_below)
    if at.size:
        out[at] = _of_censored(melts, observed.below[column[at]], at)
    is_silent = ~(has_value | is_below | observed.is_elsewhere[column])
    at = np.flatnonzero(is_silent & (melts.is_rest | melts.is_demanded))
    if at.size:
        out[at] = _of_unreported(melts, observed, at)
    return out


def of_values(melts: Melts, at: NDArray[np.int64], value: FloatArray, sigma: FloatArray) -> FloatArray:
    """Return the logarithm of the density of values under some terms [nats].

    Args:
        melts: The spreads.
        at: Which terms, shape (n,).
        value: What was read for the element of each [wt %], shape (..., n).
        sigma: Its standard uncertainty [wt %], > 0, same shape.
    """
    low, high = melts.low[at], melts.high[at]
    width = high - low
    beneath, above = low - value, value - high
    # Far outside its edges a spread has no density that its tail would not outweigh a million times.
    near = np.flatnonzero(np.maximum(beneath, above) < FAR_SIGMAS * sigma)
    density = np.zeros(value.shape)
    np.put(density, near, _near_density(melts, at[near % at.size], value.take(near), sigma.take(near)))
    blur = melts.tail_sigmas[at] * sigma
    reach_low, reach_high = melts.soft_low[at] + blur, melts.soft_high[at] + blur
    beneath /= reach_low
    above /= reach_high
    out_by = np.maximum(beneath, above, out=beneath)
    tail = np.exp(-np.clip(out_by, 0.0, GREATEST_TAIL, out=out_by), out=above)
    tail /= width + reach_low + reach_high
    tail -= density
    tail *= melts.tail[at]
    density += tail
    log_density = np.log(density, out=density)
    log_density += melts.trace_reward[at]
    log_density *= melts.witness[at]
    return log_density


def _near_density(melts: Melts, at: NDArray[np.int64], value: FloatArray, sigma: FloatArray) -> FloatArray:
    """Return the density of values under the steps of some terms, without tails [1/wt %]; all of one
    dimension."""
    low, mid, high = melts.low[at], melts.mid[at], melts.high[at]
    spare = NARROW_SIGMAS * sigma - (high - low)
    if (spare > 0.0).any():
        # A range far narrower than the noise is as good as a somewhat wider one, and safer to divide by.
        narrow = np.flatnonzero(spare > 0.0)
        low[narrow] -= 0.5 * spare[narrow]
        high[narrow] += 0.5 * spare[narrow]
        mid[narrow] = 0.5 * (low[narrow] + high[narrow])
    return spread_density(value, sigma, low, mid, high, melts.low_share[at])


def _of_censored(melts: Melts, limit: FloatArray, at: NDArray[np.int64]) -> FloatArray:
    low, mid, high = melts.low[at], melts.mid[at], melts.high[at]
    share = melts.low_share[at]
    inside = share * np.clip((limit - low) / (mid - low), 0.0, 1.0)
    inside += (1.0 - share) * np.clip((limit - mid) / (high - mid), 0.0, 1.0)
    # Near its limit an analyser misses or finds by chance: half a limit of blur.
    reach = melts.soft_low[at] + 0.5 * limit
    tail = np.exp(-np.clip((low - limit) / reach, 0.0, GREATEST_TAIL))
    log_chance = np.log((1.0 - melts.tail[at]) * inside + melts.tail[at] * tail)
    is_asked = melts.is_demanded[at] | melts.is_rest[at]
    return np.asarray(np.where(is_asked, 1.0, TRACE_WEIGHT) * log_chance)


def _of_unreported(melts: Melts, observed: Observed, at: NDArray[np.int64]) -> FloatArray:
    low, column = melts.low[at], melts.element_of[at]
    gap, gap_sigma = _of_columns(observed.gap, column), _of_columns(observed.gap_sigma, column)
    n_found = int((~np.isnan(observed.value)).sum())
    n_reported = max(n_found + int((~np.isnan(observed.below)).sum()), 1)
    half_typed = np.asarray(HALF_TYPED_WT_PCT / (n_reported * math.sqrt(max(n_found, 1))))
    if np.max(gap) > BEGUN_GAP_WT_PCT:
        begun = BEGUN_WT_PCT * math.exp(-BEGUN_FALL * (n_reported - 1))
        room = (gap - np.maximum(low, BEGUN_GAP_WT_PCT)) / gap_sigma
        half_typed = half_typed + begun * np.clip(room, 0.0, 1.0)
    beyond = np.maximum(low - gap - gap_sigma, 0.0) / gap_sigma
    omitted = -np.log(
        np.minimum(1.0 + melts.low_to_the_1_5[at] / (half_typed * np.sqrt(half_typed)), 1.0 / LEAST_OMITTED)
    )
    # Certificates do not print the rest: leaving it out is no evidence, but it has to fit into the gap.
    unexplained = np.maximum(gap - melts.high[at] - 3.0, 0.0) / 20.0
    return np.asarray(np.where(melts.is_rest[at], -unexplained, omitted) - np.minimum(beyond, GREATEST_TAIL))


def _of_columns(figure: float | FloatArray, columns: NDArray[np.int64]) -> float | FloatArray:
    """Return a figure of a reading for some of its columns."""
    return figure[columns] if isinstance(figure, np.ndarray) else figure
