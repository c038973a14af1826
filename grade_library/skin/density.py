"""How likely a reading is for bare metal and for metal beneath a coating, in one measure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from grade_library.matcher.likelihood import (
    HALF_TYPED_WT_PCT,
    LEAST_OMITTED,
    Observed,
    term_log_density,
)
from grade_library.matcher.melt import TRACE_REWARD, Melts
from grade_library.normal import FloatArray
from grade_library.skin.sight import STRAY, ShotView, Sight
from grade_library.skin.unmix import (
    FADING_MODEL_REL,
    IMPURITY_WT_PCT,
    Unmixed,
    model_variance,
)

LEAST_EDGE_WT_PCT = 1e-9
"""Beneath a skin no spread begins at nothing: none counts as that of a trace in clean metal [wt %]."""
LEAST_STEP_WT_PCT = 1e-6
"""No step of a spread is narrower than this [wt %]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """Grades beneath coatings, with the shares found for them in a reading."""

    rows: NDArray[np.int64]
    """The grades, shape (n,)."""
    coating: NDArray[np.int64]
    """Place in the sight of the coating that each is beneath, shape (n,)."""
    scaling: FloatArray
    """What scales the faded core back to 100 %, shape (n,)."""
    unmixed: Unmixed

    @classmethod
    def end_to_end(cls, parts: "Sequence[Fit]") -> "Fit":
        """Return several of them as one."""
        return cls(
            rows=np.concatenate([part.rows for part in parts]),
            coating=np.concatenate([part.coating for part in parts]),
            scaling=np.concatenate([part.scaling for part in parts]),
            unmixed=Unmixed.end_to_end([part.unmixed for part in parts]),
        )


def coated_log_density(sight: Sight, shot: ShotView, fit: Fit) -> FloatArray:
    """Return the density of a reading for grades beneath coatings [nats], in the measure of bare metal.

    Args:
        sight: What the technique sees.
        shot: The reading.
        fit: The grades and coatings; judged together, since it is the number of array operations that costs.

    The spread of each grade's melts is shrunk by what the skin leaves, shifted by what it adds, and judged by
    the same function as that of clean metal.
    """
    named = sight.n_named
    factor, added, loose, sigma = _bending(sight, shot, fit)
    terms = sight.melts.index[fit.rows]
    bent = _bent(sight.melts, terms, factor[:, :named], added[:, :named], loose[:, :named])
    stray = _stray(factor[:, named:], added[:, named:], loose[:, named:])
    log_density = _named_density(sight.melts, terms, bent, added[:, :named], shot.part(0, named), sigma)
    log_density += _stray_density(stray, shot.part(named, len(sight.elements)), sigma[:, named:])
    return log_density + fit.unmixed.log_room


def _bending(sight: Sight, shot: ShotView, fit: Fit) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return what a coating leaves of each grade, what it adds, how far that varies where no noise of a value
    stands for it, and the uncertainty of the reading [wt %]; all of shape (n, n_elements)."""
    together, shares = sight.together, fit.unmixed.shares
    way = (fit.unmixed.scale, fit.coating)
    left = 1.0 - fit.unmixed.total
    factor = together.fading[way] * (fit.scaling * left)[:, None]
    added = fit.unmixed.added(sight, fit.coating)
    varying = np.einsum("nl,lne->ne", shares**2, together.spread[:, *way] ** 2)
    loose = np.where(np.isnan(shot.below), 0.0, np.sqrt(varying))
    impure = varying + (IMPURITY_WT_PCT**2 * (shares**2).sum(axis=1))[:, None]
    variance = (
        shot.sigma**2 + impure + (FADING_MODEL_REL * together.lost[way] * factor * sight.mean[fit.rows]) ** 2
    )
    value = np.where(np.isnan(shot.value), 0.0, shot.value)
    return factor, added, loose, np.sqrt(variance + model_variance(sight, value, left[:, None]))


def _named_density(
    melts: Melts,
    terms: NDArray[np.int64],
    bent: Melts,
    added: FloatArray,
    shot: Observed,
    sigma: FloatArray,
) -> FloatArray:
    """Return the density of the elements that grades name [nats], shape (n_grades,)."""
    # Where the skin is most of the reading, its main element is what was measured, not the rest of the core.
    is_rest = _main_rest(bent.is_rest.reshape(terms.shape), added)
    is_reported = ~(np.isnan(shot.value) & np.isnan(shot.below))
    is_demanded = bent.is_demanded.reshape(terms.shape)
    left_out = _left_out(bent.low.reshape(terms.shape), is_demanded, is_reported, shot)
    bent = replace(bent, is_rest=is_rest.ravel(), is_demanded=(is_demanded & is_reported).ravel())
    found = left_out + _summed(bent, term_log_density(bent, _repeated(shot, sigma[:, : len(is_reported)])))
    return found + _trace_reward(melts.low[terms], melts.high[terms], melts.is_rest[terms], shot.value)


def _stray_density(stray: Melts, shot: Observed, sigma: FloatArray) -> FloatArray | float:
    """Return the density of the elements that no grade names [nats], shape (n_grades,)."""
    if not stray.low.size:
        return 0.0
    zero = np.zeros_like(sigma)
    found = _summed(stray, term_log_density(stray, _repeated(shot, sigma)))
    return found + _trace_reward(zero, zero + STRAY["high"], zero > 0.0, shot.value)


def _trace_reward(
    low: FloatArray, high: FloatArray, is_rest: NDArray[np.bool_], value: FloatArray
) -> FloatArray:
    """Return what tight limits on traces earn in clean metal [nats], a skin no more."""
    is_trace = (low <= 0.0) & ~is_rest & ~np.isnan(value)
    found: FloatArray = np.where(is_trace, (1.0 - TRACE_REWARD) * np.log(high), 0.0).sum(axis=1)
    return found


def _summed(melts: Melts, terms: FloatArray) -> FloatArray:
    """Return the sum of the terms of each grade [nats]."""
    found: FloatArray = terms[melts.index].sum(axis=1)
    return found


def _left_out(
    low: FloatArray, is_demanded: NDArray[np.bool_], is_reported: NDArray[np.bool_], shot: Observed
) -> FloatArray:
    """Return what demanded elements that were not reported cost [nats]: what the skin hides costs none."""
    is_missing = is_demanded & ~is_reported
    n_reported = max(int((~np.isnan(shot.value)).sum() + (~np.isnan(shot.below)).sum()), 1)
    typed = (low * n_reported / HALF_TYPED_WT_PCT) ** 1.5
    omitted = np.log(np.maximum(1.0 / (1.0 + typed), LEAST_OMITTED)) - np.maximum(low - shot.gap - 1.0, 0.0)
    found: FloatArray = np.where(is_missing, omitted, 0.0).sum(axis=1)
    return found


def _main_rest(is_rest: NDArray[np.bool_], added: FloatArray) -> NDArray[np.bool_]:
    """Return which element is the rest; none where one element of the skin is most of the reading."""
    found: NDArray[np.bool_] = is_rest & (added.max(axis=1, keepdims=True) <= 50.0)
    return found


def stray_log_density(sight: Sight, shot: ShotView) -> float:
    """Return what the elements that no grade names say of clean metal [nats]."""
    named, n_all = sight.n_named, len(sight.elements)
    if n_all == named:
        return 0.0
    none = np.zeros((1, n_all - named))
    stray = _stray(none + 1.0, none, none)
    return float(term_log_density(stray, shot.part(named, n_all)).sum())


def _repeated(shot: Observed, sigma: FloatArray) -> Observed:
    """Return the reading once for every grade, end to end, as the columns of bent spreads."""
    n = len(sigma)
    return replace(
        shot,
        value=np.tile(shot.value, n),
        sigma=sigma.ravel(),
        below=np.tile(shot.below, n),
        is_elsewhere=np.zeros(sigma.size, dtype=bool),
    )


def _bent(
    melts: Melts, terms: NDArray[np.int64], factor: FloatArray, added: FloatArray, loose: FloatArray
) -> Melts:
    """Return the spreads of these terms, each a column of its own, as a skin bends them.

    Args:
        melts: The spreads of clean metal.
        terms: Which of them, shape (n, n_elements).
        factor: What is left of the core, same shape.
        added: What the skin adds [wt %], same shape.
        loose: How far that varies, where no noise of a value stands for it [wt %], same shape.
    """
    flat, factor = terms.ravel(), factor.ravel()
    low, mid, high = _moved(
        (melts.low[flat], melts.mid[flat], melts.high[flat]), factor, added.ravel(), loose.ravel()
    )
    return Melts(
        elements=melts.elements,
        element_of=np.arange(flat.size),
        low=low,
        mid=mid,
        high=high,
        low_share=melts.low_share[flat],
        soft_low=melts.soft_low[flat] * factor,
        soft_high=melts.soft_high[flat] * factor,
        tail=melts.tail[flat],
        is_rest=melts.is_rest[flat],
        is_demanded=melts.is_demanded[flat],
        index=np.arange(flat.size).reshape(terms.shape),
    )


def _moved(
    edges: tuple[FloatArray, FloatArray, FloatArray], factor: FloatArray, added: FloatArray, loose: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the edges of spreads, shrunk to what is left, shifted by what is added, and loosened."""
    low, mid, high = (edge * factor + added for edge in edges)
    low, high = np.maximum(low - 2.0 * loose, LEAST_EDGE_WT_PCT), high + 2.0 * loose
    # Beneath an opaque skin a spread shrinks to a point; a step of no width cannot be divided by.
    mid = np.maximum(mid, low + LEAST_STEP_WT_PCT)
    return low, mid, np.maximum(high, mid + LEAST_STEP_WT_PCT)


def _stray(factor: FloatArray, added: FloatArray, loose: FloatArray) -> Melts:
    """Return the spreads of elements that no grade names, each a column of its own, as a skin bends them."""
    shape, size = factor.shape, factor.size
    scale = factor.ravel()
    low, mid, high = _moved(
        (scale * 0.0 + STRAY["low"], scale * 0.0 + STRAY["mid"], scale * 0.0 + STRAY["high"]),
        scale,
        added.ravel(),
        loose.ravel(),
    )
    no = np.zeros(size, dtype=bool)
    return Melts(
        elements=(),
        element_of=np.arange(size),
        low=low,
        mid=mid,
        high=high,
        low_share=np.full(size, STRAY["low_share"]),
        soft_low=STRAY["soft_low"] * scale,
        soft_high=STRAY["soft_high"] * scale,
        tail=np.full(size, STRAY["tail"]),
        is_rest=no,
        is_demanded=no,
        index=np.arange(size).reshape(shape),
    )
