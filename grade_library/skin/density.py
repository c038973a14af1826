"""How likely a reading is for bare metal and for metal beneath a coating, in one measure."""

from collections.abc import Sequence
from dataclasses import dataclass

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
from grade_library.skin.coating_sight import CoatingSight
from grade_library.skin.sight import ShotView, Sight
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
MOSTLY_SKIN_WT_PCT = 50.0
"""Where one element of the skin is more of the reading, that was measured, and not the rest of the core."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """Grades beneath one coating, with the shares found for them in a reading."""

    shot: ShotView
    coating: CoatingSight
    at: NDArray[np.int64]
    """Places of the grades among its rows, shape (n,)."""
    unmixed: Unmixed


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Fits:
    """Several of them end to end; all of shape (n, n_elements), or (n,)."""

    value: FloatArray
    sigma: FloatArray
    below: FloatArray
    gap: FloatArray
    gap_sigma: FloatArray
    rows: NDArray[np.int64]
    """The grades."""
    coating: NDArray[np.int64]
    """Place in the sight of the coating that each is beneath."""
    scaling: FloatArray
    """What scales the faded core back to 100 %."""
    unmixed: Unmixed


def _end_to_end(fits: Sequence[Fit]) -> _Fits:
    counts = [len(fit.at) for fit in fits]

    def of_shots(name: str) -> FloatArray:
        return np.repeat(np.array([getattr(fit.shot, name) for fit in fits]), counts, axis=0)

    return _Fits(
        value=of_shots("value"),
        sigma=of_shots("sigma"),
        below=of_shots("below"),
        gap=of_shots("gap"),
        gap_sigma=of_shots("gap_sigma"),
        rows=np.concatenate([fit.coating.rows[fit.at] for fit in fits]),
        coating=np.repeat([fit.coating.place for fit in fits], counts),
        scaling=np.concatenate([fit.coating.scaling[fit.unmixed.scale, fit.at] for fit in fits]),
        unmixed=Unmixed.end_to_end([fit.unmixed for fit in fits]),
    )


def coated_log_density(sight: Sight, fits: Sequence[Fit]) -> list[FloatArray]:
    """Return the density of a reading for grades beneath each coating [nats], in the measure of bare metal.

    Args:
        sight: What the technique sees.
        fits: The readings and coatings; judged together, since it is the number of array operations that
            costs.

    The spread of each grade's melts is shrunk by what the skin leaves, shifted by what it adds, and judged by
    the same function as that of clean metal.
    """
    whole = _end_to_end(fits)
    melts, terms = sight.melts, sight.melts.index[whole.rows]
    is_reported = ~(np.isnan(whole.value) & np.isnan(whole.below))
    added = whole.unmixed.added(sight, whole.coating)
    is_rest = melts.is_rest[terms] & (added.max(axis=1, keepdims=True) <= MOSTLY_SKIN_WT_PCT)
    is_demanded = melts.is_demanded[terms]
    # What was not reported says nothing, unless a grade asks for it.
    columns = np.flatnonzero((is_reported | is_rest | is_demanded).any(axis=0))
    value, below = whole.value[:, columns], whole.below[:, columns]
    terms, added, is_reported = terms[:, columns], added[:, columns], is_reported[:, columns]
    is_rest, is_demanded = is_rest[:, columns], is_demanded[:, columns]
    factor, varying, sigma = _bending(sight, whole, columns, value)
    edges = _moved(melts, terms, factor, added, np.where(np.isnan(below), 0.0, np.sqrt(varying)))
    bent = _bent(melts, terms, edges, factor, is_rest, is_demanded & is_reported)
    n_reported = np.maximum(is_reported.sum(axis=1, keepdims=True), 1)
    seen = Observed(
        value=value.ravel(),
        sigma=sigma.ravel(),
        below=below.ravel(),
        gap=np.repeat(whole.gap, len(columns)),
        gap_sigma=np.repeat(whole.gap_sigma, len(columns)),
        is_elsewhere=np.zeros(value.size, dtype=bool),
    )
    found = term_log_density(bent, seen).reshape(terms.shape)
    found += _trace_reward(melts, terms, value)
    found += np.where(is_demanded & ~is_reported, _left_out(edges[0], n_reported, whole.gap[:, None]), 0.0)
    log_density = found.sum(axis=1) + whole.unmixed.log_room
    return np.split(log_density, np.cumsum([len(fit.at) for fit in fits])[:-1])


def _bending(
    sight: Sight, fits: _Fits, columns: NDArray[np.int64], value: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return what a coating leaves of each grade, the variance of what it adds [wt %²], and the uncertainty
    of the reading [wt %]; all of shape (n, n_columns)."""
    together, unmixed = sight.together, fits.unmixed
    way = (columns, unmixed.scale[:, None], fits.coating[:, None])
    left, squares = 1.0 - unmixed.total[:, None], unmixed.shares**2
    factor = together.fading[way] * (fits.scaling[:, None] * left)
    varying = np.einsum("nl,lne->ne", squares, together.spread[(slice(None), *way)] ** 2)
    variance = varying + IMPURITY_WT_PCT**2 * squares.sum(axis=1, keepdims=True)
    variance += fits.sigma[:, columns] ** 2
    variance += (
        FADING_MODEL_REL * together.lost[way] * factor * sight.mean[fits.rows[:, None], columns]
    ) ** 2
    variance += model_variance(sight, np.nan_to_num(value), left)
    return factor, varying, np.sqrt(variance)


def _trace_reward(melts: Melts, terms: NDArray[np.int64], value: FloatArray) -> FloatArray:
    """Return what tight limits on traces earn in clean metal [nats], a skin no more; shape of the terms."""
    high = melts.high[terms]
    is_trace = (melts.low[terms] <= 0.0) & ~melts.is_rest[terms] & ~np.isnan(value)
    return np.where(is_trace, (1.0 - TRACE_REWARD) * np.log(high), 0.0)


def _left_out(low: FloatArray, n_reported: NDArray[np.int64], gap: FloatArray) -> FloatArray:
    """Return what a demanded element that was not reported costs [nats]: what the skin hides costs none.

    Args:
        low: Least of it in the reading [wt %], any shape.
        n_reported: How many elements were reported.
        gap: What the reported elements leave of 100 [wt %].
    """
    typed = (low * n_reported / HALF_TYPED_WT_PCT) ** 1.5
    omitted = np.log(np.maximum(1.0 / (1.0 + typed), LEAST_OMITTED))
    return np.asarray(omitted - np.maximum(low - gap - 1.0, 0.0))


def stray_log_density(sight: Sight, shot: ShotView) -> float:
    """Return what the elements that no grade names say of clean metal [nats]."""
    strange = np.arange(sight.n_named, len(sight.elements))
    seen = shot.of(strange)
    if np.isnan(seen.value).all() and np.isnan(seen.below).all():
        return 0.0
    return float(term_log_density(sight.stray, seen).sum())


def _moved(
    melts: Melts, terms: NDArray[np.int64], factor: FloatArray, added: FloatArray, loose: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the edges of spreads as a skin bends them: shrunk to what is left, shifted by what is added, and
    loosened [wt %].

    Args:
        melts: The spreads of clean metal.
        terms: Which of them, shape (n, n_columns).
        factor: What is left of the core, same shape.
        added: What the skin adds [wt %], same shape.
        loose: How far that varies, where no noise of a value stands for it [wt %], same shape.
    """
    low, mid, high = (edge[terms] * factor + added for edge in (melts.low, melts.mid, melts.high))
    low, high = np.maximum(low - 2.0 * loose, LEAST_EDGE_WT_PCT), high + 2.0 * loose
    # Beneath an opaque skin a spread shrinks to a point; a step of no width cannot be divided by.
    mid = np.maximum(mid, low + LEAST_STEP_WT_PCT)
    return low, mid, np.maximum(high, mid + LEAST_STEP_WT_PCT)


def _bent(
    melts: Melts,
    terms: NDArray[np.int64],
    edges: tuple[FloatArray, FloatArray, FloatArray],
    factor: FloatArray,
    is_rest: NDArray[np.bool_],
    is_demanded: NDArray[np.bool_],
) -> Melts:
    """Return the spreads of these terms, each a column of its own, as a skin bends them."""
    flat, places = terms.ravel(), np.arange(terms.size)
    low, mid, high = (edge.ravel() for edge in edges)
    return Melts(
        elements=melts.elements,
        element_of=places,
        low=low,
        mid=mid,
        high=high,
        low_share=melts.low_share[flat],
        soft_low=melts.soft_low[flat] * factor.ravel(),
        soft_high=melts.soft_high[flat] * factor.ravel(),
        tail=melts.tail[flat],
        is_rest=is_rest.ravel(),
        is_demanded=is_demanded.ravel(),
        index=places.reshape(terms.shape),
    )
