"""Which grades can lie beneath a coating at all: a quick measure of all of them, in matrix products."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from grade_library.normal import FloatArray
from grade_library.skin.sight import CoatingSight, Physics, Sight
from grade_library.skin.unmix import (
    FADING_MODEL_REL,
    IMPURITY_WT_PCT,
    LEAST_SHARE,
    MOST_SHARE,
    SWEEPS,
    X_RAY_MODEL_REL,
    ShotView,
    gap_variance,
)

SUPPOSED_CORE, SUPPOSED_SKIN = 0.6, 0.9
"""The shares at which the spreads of core and coating are taken, before they are known: both generously."""
SCREENED_PLACES = (0, 3)
"""Film thicknesses that are looked at: patches and a middling film."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Screen:
    """One reading laid out for the screen, over the elements it reports; the same for every coating."""

    sight: Sight
    columns: NDArray[np.int64]
    reading: FloatArray
    """Shape (n_columns,) [wt %]."""
    gap: float
    mean: FloatArray
    """Of every grade, shape (n_grades, n_columns) [wt %]."""
    square: FloatArray
    """Squares of it."""
    weight: FloatArray
    """Of each element, as in `Sight`."""
    variance: FloatArray
    """Of the reading and of what the skin leaves of each grade's melts [wt %²], same shape."""
    log_variance: FloatArray
    """Its weighed logarithm, summed, shape (n_grades,)."""


def screen_of(sight: Sight, shot: ShotView) -> Screen:
    """Return a reading laid out for `screened`."""
    columns = np.flatnonzero(~np.isnan(shot.value))
    reading, noise = shot.value[columns], shot.sigma[columns] ** 2
    if sight.physics is Physics.X_RAY:
        noise = noise + (X_RAY_MODEL_REL * reading) ** 2
    mean, weight = sight.mean[:, columns], sight.weight[:, columns]
    variance = sight.variance[:, columns] * SUPPOSED_CORE**2 + noise
    return Screen(
        sight=sight,
        columns=columns,
        reading=reading,
        gap=shot.gap,
        mean=mean,
        square=mean * mean,
        weight=weight,
        variance=variance,
        log_variance=(weight * np.log(2.0 * np.pi * variance)).sum(axis=1),
    )


def screened(screen: Screen, coating: CoatingSight) -> FloatArray:
    """Return a quick measure of how well each of `coating.rows` fits the reading beneath it [nats].

    Weighted least squares in the shares of the layers, with the weights of one supposed share: what `unmix`
    does in rounds for a few grades, once for all of them. -inf for a grade beneath which there is no skin to
    speak of.
    """
    variance, log_variance = _with_coating(screen, coating)
    weight = screen.weight / variance
    places = SCREENED_PLACES if len(coating.fading) > 1 else (0,)
    fits = [_fit_at(screen, coating, weight, place) for place in places]
    best: FloatArray = np.maximum.reduce(fits)
    found: FloatArray = (best - 0.5 * log_variance)[coating.rows]
    return found


def _with_coating(screen: Screen, coating: CoatingSight) -> tuple[FloatArray, FloatArray]:
    """Return the variance with what the coating adds to it [wt %²], and its weighed logarithm, summed."""
    spread = coating.spread[:, 0, screen.columns].max(axis=0)
    added = SUPPOSED_SKIN**2 * (spread**2 + IMPURITY_WT_PCT**2)
    varied = np.flatnonzero(added > 0.1 * screen.variance.min(axis=0))
    variance = screen.variance + added
    if len(coating.fading) > 1:
        fading = coating.fading[SCREENED_PLACES[-1], screen.columns]
        lost = 1.0 - fading / coating.fading[SCREENED_PLACES[-1]].max()
        variance += screen.square * (FADING_MODEL_REL * lost * SUPPOSED_CORE) ** 2
    ratio = variance[:, varied] / screen.variance[:, varied]
    return variance, screen.log_variance + (screen.weight[:, varied] * np.log(ratio)).sum(axis=1)


def _fit_at(screen: Screen, coating: CoatingSight, weight: FloatArray, place: int) -> FloatArray:
    """Return the fit with one thickness of the film, shape (n_grades,) [nats]."""
    fading = coating.fading[place, screen.columns]
    layers = coating.layers[:, place][:, screen.columns]
    scale = np.ones(len(weight))
    scale[coating.rows] = coating.scaling[place]
    n = len(layers)
    reading, gap_weight = screen.reading, 1.0 / (SUPPOSED_CORE**2 + gap_variance(screen.gap))
    cored = weight * screen.mean
    of_reading = weight @ np.column_stack([reading * reading, *(reading * layers)])
    of_core = cored @ np.column_stack([reading * fading, *(layers * fading)]) * scale[:, None]
    of_both = (weight * screen.square) @ (fading * fading) * scale * scale
    core_gap = 100.0 - scale * (screen.mean @ fading)
    off_gap, tilt_gap = screen.gap - core_gap, (100.0 - layers.sum(axis=1))[:, None] - core_gap
    off = of_reading[:, 0] - 2.0 * of_core[:, 0] + of_both + gap_weight * off_gap * off_gap
    right = [
        of_reading[:, 1 + i]
        - of_core[:, 0]
        - of_core[:, 1 + i]
        + of_both
        + gap_weight * off_gap * tilt_gap[i]
        for i in range(n)
    ]
    normal = [[off] * n for _ in range(n)]
    for i in range(n):
        for j in range(i, n):
            layered = weight @ (layers[i] * layers[j]) - of_core[:, 1 + i] - of_core[:, 1 + j] + of_both
            normal[i][j] = normal[j][i] = layered + gap_weight * tilt_gap[i] * tilt_gap[j] + float(i == j)
    return -0.5 * _least_off(off, right, normal)


def _least_off(
    off: FloatArray, right: Sequence[FloatArray], normal: Sequence[Sequence[FloatArray]]
) -> FloatArray:
    """Return what stays unexplained with the best shares, none below 0 and not above 1 together.

    Infinite where the best is no skin.
    """
    n = len(right)
    shares = [np.full_like(off, 0.6 / n) for _ in range(n)]
    for _ in range(SWEEPS if n > 1 else 1):
        for i in range(n):
            rest = right[i]
            for j in range(n):
                if j != i:
                    rest = rest - normal[i][j] * shares[j]
            shares[i] = np.maximum(rest / normal[i][i], 0.0)
    total = np.add.reduce(shares)
    held = np.where(total > MOST_SHARE, MOST_SHARE / np.maximum(total, 1e-9), 1.0)
    left = off
    for i in range(n):
        share = shares[i] * held
        left = left - 2.0 * share * right[i]
        for j in range(n):
            left = left + share * shares[j] * held * normal[i][j]
    return np.where(total >= LEAST_SHARE, left, np.inf)
